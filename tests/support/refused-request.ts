import type { ErrorCode } from '../../src/core/basics/error-codes.ts'
import type { Asked } from './ask.ts'

/** A request that must be refused, and how. */
export interface RefusedRequest {
  readonly title: string
  readonly path: string
  readonly asked: Asked
  readonly status: number
  readonly code: ErrorCode
  /** Where the first issue is, whole. */
  readonly at: string
  /** Headers the answer must carry. */
  readonly headers?: Readonly<Record<string, string>>
}
