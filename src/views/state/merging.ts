import type { KeptDraft } from '../../bridge.ts';
import { commit } from '../../grid/history.ts';
import { repairable } from '../../scenario/faults/repairable.ts';
import { planInUse, withPlanInUse } from '../../scenario/inUse.ts';
import { type Change, changesBetween, merge, type Side, same } from '../../scenario/merge.ts';
import { readScenario, writeScenario } from '../../scenario/read.ts';
import type { Scenario } from '../../scenario/schema.ts';
import { variantsOf, withVariants } from '../../scenario/variants.ts';
import { countText } from '../../words/numbers.ts';
import { take } from './editing.ts';
import { after, type Step, step } from './events.ts';
import { load, written } from './files.ts';
import type { Clash, Newer, Notice, Session } from './session.ts';

const NO_CHOICES: ReadonlyMap<string, Side> = new Map();

/** A value in a sentence: 25, 2K, a whole row by how much it says. */
export const valueText = (value: unknown): string => {
  if (value === undefined || value === null) return 'nothing';
  const text = typeof value === 'object' ? JSON.stringify(value) : String(value);
  return text.length > 80 ? `${text.slice(0, 79)}…` : text;
};
/** Patients › bed-04 › dose */
export const pathText = (path: readonly string[]): string => {
  const [first = 'scenario', ...rest] = path;
  return [`${first.charAt(0).toUpperCase()}${first.slice(1)}`, ...rest].join(' › ');
};
const changeLine = ({ path, before, after: now }: Change): string =>
  `${pathText(path)}: ${valueText(before)} → ${valueText(now)}`;

/** Every field of the draft gives way to another scenario's. */
const replaceBy = (next: Scenario) => (draft: Scenario) => {
  const fields = draft as unknown as Record<string, unknown>;
  for (const key of Object.keys(fields)) if (!Object.hasOwn(next, key)) delete fields[key];
  Object.assign(fields, structuredClone(next));
};

/** The three contents as JSON: what was read, what is here, what the file holds now. */
function threeOf(session: Session, { text, base }: Newer) {
  const read = (one: string | null): unknown => {
    try {
      return one === null ? undefined : JSON.parse(one);
    } catch {
      return undefined;
    }
  };
  return { base: read(base), mine: read(written(session)), theirs: read(text) };
}

/** Somebody else has saved: asked about where both changed the same, or where nothing of ours waits to be saved. */
export function fileNewer(session: Session, newer: Newer, madeAt: string): Step {
  const { file } = session;
  if (file?.handle !== newer.file.handle || file.digest === newer.digest) return step(session);
  if (session.clash && !newer.saving) return step(session);
  if (!repairable(newer.text) && !readScenario(newer.text).ok)
    return step(session, {
      notice: {
        tone: 'bad',
        text: `${file.name} was changed by somebody else and is no scenario any more. Nothing was written. Use "Save as" with another name.`,
      },
    });
  const three = threeOf(session, newer);
  const asked = { choices: NO_CHOICES, each: !newer.saving };
  const { conflicts } = merge(three, asked);
  if (conflicts.length > 0) return step(session, { clash: { ...newer, conflicts } });
  return newer.saving
    ? taken(session, { ...newer, conflicts }, NO_CHOICES, madeAt)
    : step(session, { file: { ...file, digest: newer.digest } });
}

/** The person has answered; null leaves all as it is, and nothing is written. */
export function clashAnswered(
  session: Session,
  choices: ReadonlyMap<string, Side> | null,
  madeAt: string,
): Step {
  const { clash } = session;
  if (!clash) return step(session);
  const settled = step(session, { clash: null });
  return choices === null ? settled : after(settled, (now) => taken(now, clash, choices, madeAt));
}

function taken(session: Session, clash: Clash, choices: ReadonlyMap<string, Side>, madeAt: string): Step {
  const three = threeOf(session, clash);
  const value = merge(three, { choices, each: !clash.saving }).value as Scenario;
  const file = { ...clash.file, digest: clash.digest };
  const came = changesBetween(three.mine, value).map(changeLine);
  const notice: Notice | null =
    came.length === 0
      ? null
      : {
          tone: 'warn',
          text: `${clash.file.name}: ${countText(came.length, 'change')} by somebody else came in. Check what ${came.length === 1 ? 'it means' : 'they mean'} for your plan.`,
          details: came,
        };
  const plan = planInUse(value);
  const planless = plan && plan !== 'broken' ? withPlanInUse(value, null) : value;
  const variants = variantsOf(planless).map((one) => ({ ...one, plan: null }));
  const scenario = withVariants(planless, []);
  const mine = planInUse(three.mine as Scenario);
  // Another plan in use is one that people work by: it comes as if the file were opened, without a way back by undo.
  const edited = same(plan, mine)
    ? take(session, commit(session, 'changes of somebody else', replaceBy(scenario)), madeAt)
    : load(session, value, file, madeAt);
  const differs = !same(value, three.theirs);
  return after(edited, (now) => {
    const sound = readScenario(writeScenario(value)).ok;
    const part = {
      file,
      notice,
      variants,
      variantsChanged: differs,
      unsaved: differs,
      clean: differs ? null : now.scenario,
    };
    return clash.saving && differs && sound
      ? step(now, part, { do: 'save', file, text: written(now), of: now.scenario, notice })
      : step(now, part);
  });
}

/** Edits that a page left when it died: on screen again, not saved yet; a file that has changed meanwhile is merged on saving. */
export function draftTaken(session: Session, { text, file, base, name }: KeptDraft, madeAt: string): Step {
  const reading = readScenario(text);
  const scenario = reading.ok ? reading.scenario : repairable(text)?.scenario;
  if (!scenario)
    return step(session, { notice: { tone: 'bad', text: `The edits of ${name} cannot be read.` } });
  const ref = file && {
    handle: file.handle,
    name: file.name,
    ...(file.readOnly && { readOnly: true }),
    ...(base !== null && { digest: base }),
  };
  return after(load(session, scenario, ref, madeAt), (now) =>
    step(now, { unsaved: true, clean: null, notice: null }),
  );
}
