import type { CallName } from '../writer.ts'

/** Given to the worker thread when it starts. */
export interface Start {
  readonly file: string
  readonly readingsAtOnce: ReadonlySet<string>
  readonly attentionAtOnce: ReadonlySet<string>
  readonly claimsFreeMs?: number
}

/** To the worker: what was asked in one turn of the event loop, to be done in this order. */
export type Requests = readonly Request[]

/** `close` asks to close the file and end. */
export interface Request {
  readonly number: number
  readonly name: CallName | 'close'
  readonly values: readonly unknown[]
}

/** The reply of this number tells whether the file could be opened; requests count from the next. */
export const OPENED = 0

/** From the worker: the answers there are, one message for as many as come together. */
export type Replies = readonly Reply[]

/** The answer to the request of the same number. */
export type Reply =
  | { readonly number: number; readonly ok: true; readonly value: unknown }
  | { readonly number: number; readonly ok: false; readonly message: string; readonly sqlite?: string }
