import { inputError } from '../../core/basics/issue.ts'

/** Why a record cannot be kept although nothing is wrong with it by itself. */
export const OTHER_CONTENT = inputError(
  'conflict',
  'SAME_ID_OTHER_CONTENT',
  'id',
  'an id that this source has not used for other content',
  'Use a new id for a new sitting, or send it as a correction; the session already held is unchanged.',
)

export const SESSION_WITHDRAWN = inputError(
  'conflict',
  'SESSION_WITHDRAWN',
  'id',
  'the id of a session that was not taken back',
  'Send the sitting under a new id.',
)

export const OTHER_ID = inputError(
  'conflict',
  'OTHER_ID',
  'id',
  'the id the record was sent to',
  'Send the record to the path of its own id.',
)

export const OTHER_SUBJECT = inputError(
  'conflict',
  'OTHER_SUBJECT',
  'subject',
  'the subject of the session that is corrected',
  'Withdraw the session, and send it for the right subject under a new id.',
)

/** Nobody said anything of the readings that are held beside those that are corrected or taken back. */
export const OTHERS_LEFT = inputError(
  'conflict',
  'SAME_ID_OTHER_CONTENT',
  'readings',
  'with the readings that are corrected or taken back, the others of their sitting',
  'Send the whole sitting, each reading as it stands now; the session held is unchanged.',
)
