import { KEY_ID, SOURCE_NAME } from '../../../core/registry/source.ts'
import { allOf, count, described, list, moment, object, pageOf, text } from './schema-words.ts'

const name = { type: 'string', pattern: SOURCE_NAME.source }
const key = described({ type: 'string', pattern: '^hbp_[A-Za-z0-9_-]{43}$' }, 'Shown this once')
const id = described(
  { type: 'string', pattern: KEY_ID.source },
  'The first 12 hex digits of its SHA-256; audit rows of what was done with it name it',
)
const label = described(text, 'What whoever made it calls it')

const enrolment = {
  source: name,
  subject: text,
  patient: object({ system: text, value: text }),
  zone: described(text, 'IANA time zone the patient lives in'),
  destination: text,
  armCircumferenceCm: { type: 'number' },
}

const links = {
  linked: list(
    object({ source: name, subject: text }),
    'The other subjects that are enrolled to the same patient; absent when there is none',
  ),
  remark: described(text, 'What follows from that, for a person; absent when there is none'),
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
  SourceKey: object({ key, id, role: { const: 'submit' }, source: name, label }, { optional: ['label'] }),
  Key: object({ key, id, role: { enum: ['read', 'operate', 'audit'] }, label }, { optional: ['label'] }),
  ToldKey: object(
    {
      id,
      role: { enum: ['submit', 'read', 'operate', 'audit'] },
      source: name,
      label,
      madeAt: moment,
      revokedAt: described(moment, 'From which on it opens nothing'),
    },
    {
      optional: ['source', 'label', 'madeAt', 'revokedAt'],
      description: 'A key as it is told of; the key itself is never shown again',
    },
  ),
  Enrolment: object({ ...enrolment, ...links }, { optional: ['armCircumferenceCm', 'linked', 'remark'] }),
  ListedEnrolment: object(
    {
      ...enrolment,
      alsoLinked: described(
        { type: 'integer', minimum: 1 },
        'How many other subjects are enrolled to the same patient; absent when there is none',
      ),
    },
    { optional: ['armCircumferenceCm', 'alsoLinked'] },
  ),
  Enrolled: object(
    {
      ...enrolment,
      queued: described(
        count,
        'Sessions that had been waiting for this link and are now queued for the clinic',
      ),
      moving: described(
        count,
        'Deliveries that the clinic was given under another patient and that are queued to be brought over to this one',
      ),
      ...links,
    },
    { optional: ['armCircumferenceCm', 'linked', 'remark'] },
  ),
  SourceList: allOf('Source'),
  KeyList: allOf('ToldKey'),
  EnrolmentPage: pageOf('ListedEnrolment'),
  WaitingPage: pageOf('WaitingSubject'),
}
