import type { CallName } from '../writer.ts'

/** Given to the worker thread when it starts. */
export interface Start {
  readonly file: string
  readonly readingsAtOnce: ReadonlySet<string>
}

/** To the worker. A request without a name asks it to close the file and end. */
export interface Request {
  readonly number: number
  readonly name: CallName | 'close'
  readonly values: readonly unknown[]
}

/** From the worker. Number 0 tells whether the file could be opened; the others answer the request of that number. */
export type Reply =
  | { readonly number: number; readonly ok: true; readonly value: unknown }
  | { readonly number: number; readonly ok: false; readonly message: string }
