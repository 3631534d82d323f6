import type { Entry } from '../../record/entries.ts';
import type { State } from '../../record/state.ts';
import type { Problem } from '../../scenario/problem/types.ts';
import { countText } from '../../words/numbers.ts';
import { namedRound } from '../../words/times.ts';

/** Bags off a machine: those of a fill that is on hold are never called good. */
function offText({ id, machine, good, rejected }: Entry & { kind: 'off' }, lots: State['lots']): string {
  const lot = lots.find(({ fill }) => fill?.off === id);
  const held = lot !== undefined && lot.held > 0;
  const bad = (rejected ?? []).map(({ bags, reason }) => `, ${bags} rejected (${reason})`).join('');
  return `${machine}: ${held ? `${countText(good, 'bag')} off, on hold` : `${countText(good, 'good bag')} off`}${bad}`;
}

/** What an entry says, in a line. @param lots as the record leaves them */
export function entryText(
  entry: Entry,
  whole: Pick<Problem, 'clock' | 'rounds'>,
  lots: State['lots'],
): string {
  switch (entry.kind) {
    case 'test':
      return `${entry.water}: total chlorine test ${entry.result === 'pass' ? 'passed' : 'FAILED'}${entry.totalChlorine == null ? '' : `, ${entry.totalChlorine} mg/L`}`;
    case 'circuit':
      return `${entry.machine}: new circuit for ${entry.bath}`;
    case 'bath':
      return `${entry.machine}: ${entry.bath} runs`;
    case 'fill':
      return `${entry.machine}: filling began`;
    case 'off':
      return offText(entry, lots);
    case 'stop':
      return `${entry.machine}: fill stopped, no usable bags${entry.why ? ` (${entry.why})` : ''}`;
    case 'reading':
      return `${entry.machine}: reading${entry.conductivity == null ? '' : ` ${entry.conductivity} mS/cm`}${entry.pH == null ? '' : `, pH ${entry.pH}`}${entry.potassium == null ? '' : `, potassium ${entry.potassium} mmol/L`}`;
    case 'hold':
    case 'release':
    case 'discard':
      return `${entry.lot}: ${entry.bags == null ? 'all bags' : countText(entry.bags, 'bag')} ${entry.kind === 'hold' ? 'on hold' : entry.kind === 'release' ? `released, noted by ${entry.by}` : 'discarded'}${entry.why ? ` (${entry.why})` : ''}`;
    case 'leave':
      return `Bag round ${namedRound(whole, entry.round)}: ${countText(
        entry.loads.reduce((sum, { bags }) => sum + bags, 0),
        'bag',
      )} left`;
    case 'arrive':
      return `${entry.lot}: ${countText(entry.bags, 'bag')} arrived`;
    case 'count':
      return `${entry.lot}: ${countText(entry.bags, 'bag')} counted`;
    case 'out':
      return `${entry.machine ?? entry.water}: unavailable${entry.until ? ` until ${entry.until.replace('T', ' ')}` : ''}`;
    case 'back':
      return `${entry.machine ?? entry.water}: available again`;
    case 'staff':
      return `${entry.shift}: ${countText(entry.technicians, 'technician')} from now on${entry.names?.length ? ` (${entry.names.join(', ')})` : ''}`;
    case 'duty':
      return `${entry.duty}: done`;
    case 'note':
      return entry.text;
    case 'void':
      return `Entry ${entry.of} does not count${entry.why ? `: ${entry.why}` : ''}`;
  }
}
