import { type ClinicalEvent, type Step, step } from './events.ts';
import { isCurrent, isRecorded, type Session } from './session.ts';

/** They are computed from what is typed alone: not of a day on which work is recorded. */
export const canAskClinical = (session: Session): boolean => isCurrent(session) && !isRecorded(session);

export function clinicalTold(session: Session, event: ClinicalEvent): Step {
  const { planned, clinical } = session;
  if (event.is === 'stopClinical') return step(session, { clinical: null }, { do: 'stopClinical' });
  if (event.is === 'askClinical') {
    if (!planned || !canAskClinical(session)) return step(session);
    const { scenario, plan } = planned;
    return step(
      session,
      { clinical: { of: plan.activities, state: 'asking', ways: [], message: '' } },
      { do: 'stopClinical' },
      { do: 'askClinical', scenario, plan },
    );
  }
  // What is learned goes to the question it was asked in, if that still stands.
  if (clinical?.of !== event.of) return step(session);
  switch (event.is) {
    case 'clinicalWay':
      return step(session, { clinical: { ...clinical, ways: [...clinical.ways, event.way] } });
    case 'clinicalDone':
      return step(session, { clinical: { ...clinical, state: 'answered' } });
    case 'clinicalFailed':
      return step(session, { clinical: { ...clinical, state: 'failed', message: event.why } });
  }
}

/** Another plan or another scenario: what was found holds no more. */
export const dropStaleClinical = (session: Session): Step =>
  session.clinical && (session.planned?.plan.activities !== session.clinical.of || !canAskClinical(session))
    ? step(session, { clinical: null }, { do: 'stopClinical' })
    : step(session);
