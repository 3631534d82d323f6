import { makeClock } from '../../src/calendar/clock.ts';
import type { Activity } from '../../src/plan/plan.ts';
import type { Scenario } from '../../src/scenario/schema.ts';

/**
 * The planning rules a third time, in another style: the day is played minute by minute from the scenario's own rows,
 * with nothing but a clock for local times. Slow and plain on purpose; small scenarios with bath, machine and source
 * names that are all known. The player returns the ids of the rules that a plan breaks.
 */
export function playerOf(s: Scenario): (plan: readonly Activity[]) => Set<string> {
  const clock = makeClock(s.timeZone, s.start);
  const H = s.days * 24 * 60;
  const r = {
    fillLitres: 6.5,
    maxLitres: 7.5,
    circuitHours: 24,
    stabiliseMinutes: 5,
    sampleMinutes: 5,
    swapMinutes: 8,
    circuitMinutes: 30,
    walkMinutes: 0,
    fillStartMinutes: 0,
    ...Object.fromEntries(Object.entries(s.rules ?? {}).filter(([, value]) => value != null)),
  };
  const thousandths = (x: number) => Math.round(x * 1000);
  // Technicians at work and on shift, a box for each minute.
  const onShift = new Array<number>(H).fill(0);
  for (let day = -2; day <= s.days + 1; day++) {
    const date = new Date(Date.parse(`${s.start.slice(0, 10)}T00:00Z`) + day * 86_400_000);
    const text = date.toISOString().slice(0, 10);
    const next = new Date(date.getTime() + 86_400_000).toISOString().slice(0, 10);
    for (const shift of s.shifts) {
      if (shift.dates && !shift.dates.includes(text)) continue;
      const from = clock.minuteOf(`${text}T${shift.from}`);
      const to = clock.minuteOf(`${shift.to > shift.from ? text : next}T${shift.to}`);
      for (let t = 0; t < H; t++) if (from <= t && t < to) onShift[t]! += shift.technicians;
    }
  }
  const lastTests = s.water.map((w) => (w.lastTest ? clock.minuteOf(w.lastTest) : null));
  const windowsOf = s.machines.map(
    (m) => m.available?.map((w) => [clock.minuteOf(w.from), clock.minuteOf(w.to)]) ?? [[0, H]],
  );
  const sinceOf = s.machines.map((m) => (m.loaded ? clock.minuteOf(m.loaded.circuitSince) : null));
  const capacityAt = s.water.map((w) => {
    // Changes in order of time; of two at one time the later row stands.
    const changes = [...(w.capacityChanges ?? [])]
      .map((c) => ({ minute: clock.minuteOf(c.at), capacity: c.capacity }))
      .sort((a, b) => a.minute - b.minute);
    return (t: number): number =>
      changes.filter((c) => c.minute <= Math.max(0, t)).at(-1)?.capacity ?? w.capacity;
  });
  const dutyRows = s.duties ?? [];
  /** Each time that a duty is due: its row and minute. */
  const due = dutyRows.flatMap((row) => {
    const minutes = new Set<number>();
    for (let day = -1; day <= s.days + 1; day++) {
      const date = new Date(Date.parse(`${s.start.slice(0, 10)}T00:00Z`) + day * 86_400_000)
        .toISOString()
        .slice(0, 10);
      if (row.dates && !row.dates.includes(date)) continue;
      for (const time of row.times) {
        const t = clock.minuteOf(`${date}T${time}`);
        if (t >= 0 && t + (row.slackMinutes ?? 0) + row.minutes <= H) minutes.add(t);
      }
    }
    return [...minutes].map((t) => ({ row, t }));
  });
  const arrivalsOf = (s.supplies ?? []).map((supply) =>
    (supply.deliveries ?? []).map((d) => ({ at: clock.minuteOf(d.at), quantity: d.quantity })),
  );

  return (plan) => {
    const broken = new Set<string>();
    const startingAt = new Map<number, Activity[]>();
    for (const a of plan) startingAt.set(a.start, [...(startingAt.get(a.start) ?? []), a]);
    const starting = (t: number) => startingAt.get(t) ?? [];

    for (const a of plan) {
      if (a.start < 0 || a.end > H) broken.add('within-horizon');
      const minutes = a.end - a.start;
      if (a.kind === 'duty') {
        const row = dutyRows.find((one) => one.id === a.duty);
        if (!row || !due.some((one) => one.row === row && one.t === a.at)) broken.add('duty-known');
        if (!row) continue;
        const there = s.machines.some((m) => m.id === row.place) ? a.machine : a.water;
        const other = s.machines.some((m) => m.id === row.place) ? a.water : a.machine;
        if ((row.place ?? undefined) !== there || other !== undefined) broken.add('duty-known');
        if (minutes !== row.minutes) broken.add('right-length');
        if (a.start < a.at || a.start > a.at + (row.slackMinutes ?? 0)) broken.add('duty-in-time');
        continue;
      }
      const place =
        a.kind === 'test'
          ? s.water.find((w) => w.id === a.water)
          : s.machines.find((m) => m.id === a.machine);
      if (!place) broken.add('known-place');
      if ('bath' in a && !s.baths.some((b) => b.id === a.bath)) broken.add('known-bath');
      if (a.kind === 'circuit' && minutes !== r.circuitMinutes) broken.add('right-length');
      if (a.kind === 'bath' && minutes !== r.stabiliseMinutes + r.sampleMinutes) broken.add('right-length');
      if (a.kind === 'swap' && minutes !== r.swapMinutes) broken.add('right-length');
      if (a.kind === 'test' && place && minutes !== (place as Scenario['water'][0]).testMinutes)
        broken.add('right-length');
    }
    for (const { row, t } of due)
      if (plan.filter((a) => a.kind === 'duty' && a.duty === row.id && a.at === t).length !== 1)
        broken.add('duty-done-once');

    // Who is at work in each minute, and the minutes before it in which they walk there.
    const placeOf = (a: Activity) =>
      a.kind === 'test'
        ? `water ${a.water}`
        : a.kind !== 'duty'
          ? `machine ${a.machine}`
          : a.machine !== undefined
            ? `machine ${a.machine}`
            : a.water !== undefined
              ? `water ${a.water}`
              : null;
    const works = plan
      .map((a) => {
        const hands =
          a.kind === 'fill'
            ? 1
            : a.kind === 'duty'
              ? (dutyRows.find((row) => row.id === a.duty)?.technicians ?? 0)
              : (s.rules?.hands?.[a.kind] ?? 1);
        const length = a.kind === 'fill' ? Math.min(r.fillStartMinutes, a.end - a.start) : a.end - a.start;
        return { place: placeOf(a), from: a.start, to: a.start + length, hands };
      })
      .filter(({ from, to, hands }) => to > from && hands > 0);
    const atWork = new Array<number>(H).fill(0);
    for (const work of works) {
      const stays = works.some(
        (one) => one.place !== null && one.place === work.place && one.to === work.from,
      );
      for (let t = work.from - (stays ? 0 : r.walkMinutes); t < work.to; t++)
        if (t >= 0 && t < H) atWork[t]! += work.hands;
    }
    if (atWork.some((hands, t) => hands > onShift[t]!)) broken.add('technicians-enough');
    for (const a of plan)
      if (a.kind === 'fill' && (onShift[a.start] ?? 0) < 1) broken.add('fill-start-staffed');

    for (const [number, m] of s.machines.entries()) {
      const mine = plan.filter((a) => a.kind !== 'test' && a.kind !== 'duty' && a.machine === m.id);
      const duties = plan.filter((a) => a.kind === 'duty' && a.machine === m.id);
      const doing = new Map<number, number>();
      for (const a of [...mine, ...duties])
        for (let t = a.start; t < a.end; t++) doing.set(t, (doing.get(t) ?? 0) + 1);
      if ([...doing.values()].some((n) => n > 1)) broken.add('machine-no-overlap');

      // Each minute belongs to the set of windows that are open then; an activity needs one that is open throughout.
      const windows = windowsOf[number]!;
      for (const a of mine) {
        const whole = windows.some(([from, to]) => {
          for (let t = a.start; t < a.end; t++) if (t < 0 || t >= H || t < from! || t >= to!) return false;
          return true;
        });
        if (!whole) broken.add('within-window');
      }

      let bath = m.loaded?.bath ?? null;
      let since: number | null = sinceOf[number] ?? null;
      const first = Math.min(0, ...mine.map((a) => a.start));
      const last = Math.max(H, ...mine.map((a) => a.start));
      for (let t = first; t <= last; t++) {
        for (const a of starting(t))
          if (a.kind === 'duty' && duties.includes(a))
            if (dutyRows.find((row) => row.id === a.duty)?.endsCircuit) since = null;
        for (const a of starting(t)
          .filter((x) => mine.includes(x))
          .sort((x, y) => x.end - y.end)) {
          const known = 'bath' in a && s.baths.some((b) => b.id === a.bath);
          if (known && m.baths && !m.baths.includes(a.bath)) broken.add('bath-allowed');
          if (a.kind === 'fill') {
            if (since === null) broken.add('circuit-in-place');
            else if (bath !== a.bath) broken.add('bath-loaded');
            // A bag holds flow x minutes / positions; thousandths keep typed decimals whole.
            // At the slowest and at the quickest that the flow may be.
            const inBags = BigInt(thousandths(m.flow)) * BigInt(a.end - a.start);
            const off = BigInt(thousandths(m.flowTolerance ?? 0));
            const perLitre = BigInt(m.positions) * 1000n * 1000n;
            if (inBags * (1000n - off) < perLitre * BigInt(thousandths(r.fillLitres)))
              broken.add('fill-window');
            if (inBags * (1000n + off) > perLitre * BigInt(thousandths(r.maxLitres)))
              broken.add('fill-window');
            if (mine.filter((x) => x.kind === 'swap' && x.start === a.end).length !== 1)
              broken.add('fill-has-swap');
          }
          if (a.kind === 'swap' && mine.filter((x) => x.kind === 'fill' && x.end === t).length !== 1)
            broken.add('swap-has-fill');
          if (a.kind === 'bath' && since === null) broken.add('circuit-in-place');
          if (a.kind === 'circuit') {
            since = t;
            bath = a.bath;
          } else if (since !== null) {
            if (thousandths(a.end - since) > thousandths(r.circuitHours) * 60) broken.add('circuit-life');
            if (a.kind === 'bath') bath = a.bath;
          }
        }
      }
    }

    const running = (a: Activity) => a.kind === 'circuit' || a.kind === 'bath' || a.kind === 'fill';
    for (const [number, w] of s.water.entries()) {
      const machines = s.machines.filter((m) => m.water === w.id);
      const runs = plan.filter(
        (a) => running(a) && 'machine' in a && machines.some((m) => m.id === a.machine),
      );
      const ends = new Set(plan.filter((a) => a.kind === 'test' && a.water === w.id).map((a) => a.end));
      const rowOf = (a: Activity) => dutyRows.find((row) => a.kind === 'duty' && row.id === a.duty);
      const dutiesHere = plan.filter((a) => a.kind === 'duty' && a.water === w.id);
      const dutiesOnMachines = plan.filter(
        (a) => a.kind === 'duty' && machines.some((m) => m.id === a.machine),
      );
      const drawn = new Map<number, number>();
      const draw = (a: Activity, flow: number) => {
        if (flow > 0)
          for (let t = a.start; t < a.end; t++) drawn.set(t, (drawn.get(t) ?? 0) + thousandths(flow));
      };
      for (const a of runs) draw(a, machines.find((m) => 'machine' in a && m.id === a.machine)!.flow);
      for (const a of [...dutiesHere, ...dutiesOnMachines]) draw(a, rowOf(a)?.flow ?? 0);
      if ([...drawn].some(([t, flow]) => flow > thousandths(capacityAt[number]!(t))))
        broken.add('water-capacity');
      const runningAt = new Set<number>();
      for (const a of runs) for (let t = a.start; t < a.end; t++) runningAt.add(t);
      // What no duty at the source bears beside it.
      const busy = new Set(runningAt);
      for (const a of plan)
        if (a.kind === 'test' && a.water === w.id) for (let t = a.start; t < a.end; t++) busy.add(t);
      for (const a of dutiesOnMachines)
        if ((rowOf(a)?.flow ?? 0) > 0) for (let t = a.start; t < a.end; t++) busy.add(t);
      for (const a of dutiesHere)
        for (let t = a.start; t < a.end; t++) if (busy.has(t)) broken.add('duty-water-free');

      let lastEnd = Number.NEGATIVE_INFINITY;
      const first = Math.min(-300, ...runs.map((a) => a.start));
      const last = Math.max(H, ...runs.map((a) => a.end));
      lastEnd = lastTests[number] ?? lastEnd;
      if (lastEnd >= first) lastEnd = Number.NEGATIVE_INFINITY;
      for (let t = first; t < last; t++) {
        if (ends.has(t) || lastTests[number] === t) lastEnd = t;
        const isVoid = dutiesHere.some((a) => rowOf(a)?.voidsTests && a.start <= t && lastEnd < a.end);
        if (runningAt.has(t) && (isVoid || t - lastEnd > w.testEvery)) broken.add('water-tested');
      }
    }

    // Whole billionths of an item: 1e5 for litres of item per litre run, 1e3 for mL/min, 1e3 for mL in a litre.
    const unit = 1e11;
    for (const [number, supply] of (s.supplies ?? []).entries()) {
      let left = BigInt(Math.round(supply.onHand * 1e5)) * BigInt(unit / 1e5);
      const amount = (x: number) => BigInt(Math.round(x * 1e5)) * BigInt(unit / 1e5);
      const arrivals = arrivalsOf[number]!;
      const first = Math.min(-100, ...plan.map((a) => a.start));
      const last = Math.max(H, ...plan.map((a) => a.end));
      for (let t = first; t <= last; t++) {
        for (const d of arrivals) if (d.at === t) left += amount(d.quantity);
        for (const a of starting(t)) {
          if (!running(a) || !('bath' in a)) continue;
          if (supply.bath != null && supply.bath !== a.bath) continue;
          const m = s.machines.find((x) => x.id === a.machine);
          if (!m) continue;
          if (a.kind === 'circuit') left -= amount(supply.perCircuit ?? 0);
          if (a.kind === 'fill') left -= amount(supply.perFill ?? 0);
          left -=
            BigInt(Math.round((supply.perLitre ?? 0) * 1e5)) *
            BigInt(thousandths(m.flow)) *
            BigInt(a.end - a.start);
        }
        if (left < 0n) broken.add('supplies-enough');
      }
    }
    return broken;
  };
}
