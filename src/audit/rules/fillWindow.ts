import { breachOver } from '../breach.ts';
import { counted, lengthOf } from '../facts.ts';
import { type Rule, ruleOf } from '../verdict.ts';

/** A fill lasts long enough to fill its bags and not so long that they overfill, also where the flow may be off (V2). */
export const fillWindow: Rule = ruleOf({
  id: 'fill-window',
  says: 'A fill ends when its bags hold enough and before they hold too much.',
  counts: 'fills',
  judge(facts) {
    const fills = facts.sound.filter(({ kind }) => kind === 'fill');
    const violations = fills.flatMap((fill) => {
      const machine = facts.machine(fill);
      if (!machine) return [];
      const minutes = lengthOf(fill);
      const over = Math.max(0, minutes - machine.longest);
      const under = Math.max(0, machine.shortest - minutes);
      if (over === 0 && under === 0) return [];
      const what = under > 0 ? `${under} too few to fill` : `${over} too many, overfilling`;
      const wrong = `takes ${counted(minutes, 'minute')}, ${what} ${counted(machine.positions, 'bag')} (${machine.shortest} to ${machine.longest} minutes)`;
      return breachOver(facts, fill, wrong, under || over);
    });
    return { violations, count: fills.length };
  },
});
