import { SOURCE_NAME } from '../../../core/registry/source.ts'
import { allOf, count, described, moment, object, pageOf, text } from './schema-words.ts'

const name = { type: 'string', pattern: SOURCE_NAME.source }
const key = described({ type: 'string', pattern: '^hbp_[A-Za-z0-9_-]{43}$' }, 'Shown this once')

const enrolment = {
  source: name,
  subject: text,
  patient: object({ system: text, value: text }),
  zone: described(text, 'IANA time zone the patient lives in'),
  destination: text,
  armCircumferenceCm: { type: 'number' },
}

/** Sources, keys and enrolments as they are answered. */
export const registrySchemas = {
  Source: object({ name, title: text }),
  ToldSource: object({
    name,
    title: text,
    waiting: object(
      { subjects: count, sessions: count },
      { description: 'Sent of subjects that are not enrolled; flows once they are' },
    ),
  }),
  WaitingSubject: object(
    {
      subject: text,
      sessions: { type: 'integer', minimum: 1 },
      firstReceived: moment,
      lastReceived: moment,
    },
    { description: 'A subject whose sessions are kept and go nowhere until it is enrolled' },
  ),
  SourceKey: object({ key, role: { const: 'submit' }, source: name }),
  Key: object({ key, role: { enum: ['read', 'operate', 'audit'] } }),
  Enrolment: object(enrolment, { optional: ['armCircumferenceCm'] }),
  Enrolled: object(
    {
      ...enrolment,
      queued: described(
        count,
        'Sessions that had been waiting for this link and are now queued for the clinic',
      ),
    },
    { optional: ['armCircumferenceCm'] },
  ),
  SourceList: allOf('Source'),
  EnrolmentPage: pageOf('Enrolment'),
  WaitingPage: pageOf('WaitingSubject'),
}
