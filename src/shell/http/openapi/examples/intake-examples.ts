import {
  DIARY,
  FIRST_MORNING,
  SECOND_EVENING,
  SECOND_MORNING,
  TAKEN_BACK,
  THIRD_MORNING,
} from './sample-sessions.ts'
import type { UseExample } from './use-example.ts'

const SOURCE = { source: 'harbour-app' }
const DIARY_MAPPING = 'diary-one-row-per-reading'
const JSON_TYPE = 'application/json'

/** Sending sessions, and what is done with one. */
export const INTAKE_EXAMPLES: Readonly<Record<string, readonly UseExample[]>> = {
  sendSessions: [
    {
      name: 'one',
      summary: 'One session',
      parameters: SOURCE,
      body: { type: JSON_TYPE, value: FIRST_MORNING },
    },
    {
      name: 'again',
      summary: 'The same again changes nothing',
      parameters: SOURCE,
      body: { type: JSON_TYPE, value: FIRST_MORNING },
    },
    {
      name: 'array',
      summary: 'Several, one of which is refused',
      parameters: SOURCE,
      body: {
        type: JSON_TYPE,
        value: [SECOND_MORNING, SECOND_EVENING, { ...THIRD_MORNING, arm: 'neither' }],
      },
    },
    {
      name: 'refused',
      refused: true,
      summary: 'A time that says neither its offset nor, through an enrolment, its zone',
      parameters: SOURCE,
      body: {
        type: JSON_TYPE,
        value: { ...FIRST_MORNING, id: 'hw-1009-001', subject: 'HW-1009', takenAt: '2026-03-02T06:50:32' },
      },
    },
    {
      name: 'stream',
      summary: 'A stream, one session a line',
      parameters: SOURCE,
      body: {
        type: 'application/x-ndjson',
        value: `${JSON.stringify(THIRD_MORNING)}\n${JSON.stringify(TAKEN_BACK)}\n`,
      },
    },
    {
      name: 'diary',
      summary: 'Two rows of a diary, through a mapping',
      parameters: { ...SOURCE, mapping: DIARY_MAPPING, changed: 'corrects' },
      body: { type: 'text/csv', value: DIARY },
    },
  ],
  readSession: [
    { name: 'held', summary: 'What is held', parameters: { ...SOURCE, id: SECOND_MORNING.id } },
    {
      name: 'unknown',
      refused: true,
      summary: 'An id nobody sent',
      parameters: { ...SOURCE, id: 'hw-1002-999' },
    },
  ],
  correctSession: [
    {
      name: 'position',
      summary: 'The person lay, which was said wrongly at first',
      parameters: { ...SOURCE, id: SECOND_EVENING.id },
      body: { type: JSON_TYPE, value: { ...SECOND_EVENING, position: 'lying' } },
    },
  ],
  withdrawSession: [
    {
      name: 'withdrawn',
      summary: 'Somebody else was measured',
      parameters: { ...SOURCE, id: TAKEN_BACK.id },
    },
  ],
  listVersions: [
    {
      name: 'corrected',
      summary: 'A session that was corrected',
      parameters: { ...SOURCE, id: SECOND_EVENING.id },
    },
  ],
  listMappings: [{ name: 'all', summary: 'Those that are loaded' }],
  rehearse: [
    {
      name: 'diary',
      summary: 'Two rows of a diary',
      parameters: { ...SOURCE, name: DIARY_MAPPING },
      body: { type: 'text/csv', value: DIARY },
    },
  ],
}
