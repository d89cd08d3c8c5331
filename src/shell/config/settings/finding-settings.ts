import { z } from 'zod'
import {
  ATTENTION_CODES,
  type FindingCode,
  PLAUSIBILITY_CODES,
  TECHNIQUE_CODES,
} from '../../../core/clinical/finding.ts'

const disposition = z.exactOptional(z.enum(['exclude', 'flag', 'ignore']))

const codes: readonly FindingCode[] = [...TECHNIQUE_CODES, ...PLAUSIBILITY_CODES, ...ATTENTION_CODES]

/** What findings do to the averages of a clinic: every known code may be a key, and no other. */
export const findingSettings = z.strictObject(
  Object.fromEntries(codes.map((code) => [code, disposition])) as Record<FindingCode, typeof disposition>,
)
