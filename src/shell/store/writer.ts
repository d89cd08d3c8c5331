import type { SqliteEngine } from './sqlite-engine.ts'

/** The engine's calls, by name: what can be asked of the thread that owns the file. */
export type EngineCalls = Omit<SqliteEngine, 'mergeStep' | 'unmerged' | 'together' | 'close'>
export type CallName = keyof EngineCalls

/** The thread that owns the store's file, whichever it is. A call that fails rejects with `StoreFailed`. */
export interface Writer {
  call<Name extends CallName>(
    name: Name,
    ...values: Parameters<EngineCalls[Name]>
  ): Promise<ReturnType<EngineCalls[Name]>>
  close(): Promise<void>
}

/** A step of the background merge failed. Nothing is lost and it is tried again, but someone should look. */
export function warnOfMerge(error: unknown): void {
  const reason = error instanceof Error ? error.message : 'an unknown reason'
  process.emitWarning(`the store could not sort what it accepted, and will try again: ${reason}`)
}
