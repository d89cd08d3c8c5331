import type { CallName } from '../writer.ts'

/** Given to the worker thread when it starts. */
export interface Start {
  readonly file: string
  readonly readingsAtOnce: ReadonlySet<string>
  readonly attentionAtOnce: ReadonlySet<string>
  readonly claimsFreeMs?: number
}

/** To the worker. `close` asks it to close the file and end. */
export interface Request {
  readonly number: number
  readonly name: CallName | 'close'
  readonly values: readonly unknown[]
}

/** The reply of this number tells whether the file could be opened; requests count from the next. */
export const OPENED = 0

/** From the worker: the answer to the request of the same number. */
export type Reply =
  | { readonly number: number; readonly ok: true; readonly value: unknown }
  | { readonly number: number; readonly ok: false; readonly message: string }
