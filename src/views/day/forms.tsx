import type { Act } from '../../reports/day/places.ts';
import { OffForm, offDefault, WhatRuns, WhyForm } from './fillForms.tsx';
import type { Filled, FormProps } from './form.ts';
import { ReadingForm, TestForm } from './measureForms.tsx';
import { SetUpForm, setUpDefault } from './SetUpForm.tsx';

export const TITLES: Readonly<Record<Act, string>> = {
  fill: 'Start the fill',
  off: 'Swap the bags',
  circuit: 'New circuit in place',
  bath: 'Bath change done',
  test: 'Total chlorine test',
  reading: 'Reading',
  stop: 'Stop the fill: no usable bags',
  back: 'Back in service',
};
/** The word on a large button. */
export const BUTTONS: Readonly<Record<Act, string>> = {
  fill: 'Start',
  off: 'Swap',
  circuit: 'Circuit',
  bath: 'Bath',
  test: 'Test',
  reading: 'Reading',
  stop: 'Stop',
  back: 'Back',
};

/** What can be noted without a further tap; null: the form asks first. */
export function defaultOf(act: Act, given: Omit<FormProps, 'onFill'>): Filled | null {
  const { place } = given;
  if (act === 'off') return offDefault(given);
  if (act === 'fill')
    return {
      fields: { machine: place.id },
      says: `${place.bath ?? 'bath not known'} filling on ${place.id}`,
    };
  if (act === 'circuit' || act === 'bath') return setUpDefault(given, act);
  if (act === 'stop') return { fields: { machine: place.id }, says: `fill on ${place.id} stopped` };
  if (act === 'back')
    return {
      fields: place.kind === 'machine' ? { machine: place.id } : { water: place.id },
      says: `${place.id} is back`,
    };
  return null;
}

export function ActForm({ act, ...props }: FormProps & { act: Act }) {
  if (act === 'off')
    return (
      <>
        <WhatRuns {...props} act="off" />
        <OffForm {...props} />
      </>
    );
  if (act === 'fill') return <WhatRuns {...props} act="fill" />;
  if (act === 'test') return <TestForm {...props} />;
  if (act === 'circuit' || act === 'bath') return <SetUpForm {...props} act={act} />;
  if (act === 'reading') return <ReadingForm {...props} />;
  if (act === 'stop') return <WhyForm {...props} />;
  return null;
}
