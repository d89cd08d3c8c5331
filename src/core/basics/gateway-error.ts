import type { ErrorCode } from './error-codes.ts'

/**
 * Something failed that is not a property of the input: a store, a server, a setting.
 *
 * Carries a code from `error-codes.ts`, whether trying again later can help, and the cause. Its message never
 * holds a measured value, a name, a token or a response body.
 */
export abstract class GatewayError extends Error {
  abstract readonly code: ErrorCode
  abstract readonly retryable: boolean

  constructor(message: string, options?: { cause?: unknown }) {
    super(message, options)
    this.name = new.target.name
  }
}

/** The settings, a protocol file or another file the operator wrote cannot be used. Thrown at start, never later. */
export class SettingsRefused extends GatewayError {
  override readonly code = 'SETTINGS_REFUSED'
  override readonly retryable = false
}

/** The store could not be opened, written or read. Nothing of the failed call was kept. */
export class StoreFailed extends GatewayError {
  override readonly code = 'STORE_FAILED'
  override readonly retryable = true
  /** SQLite's own name for what failed, such as `SQLITE_FULL`; absent where it was not SQLite. */
  readonly sqlite?: string

  constructor(
    message: string,
    { sqlite, ...options }: { cause?: unknown; sqlite?: string | undefined } = {},
  ) {
    super(message, options)
    if (sqlite !== undefined) this.sqlite = sqlite
  }
}

/** SQLite's code of what failed in the store, for the log: it tells a full disk from one that is read-only. */
export function sqliteOf(error: unknown): { readonly sqlite?: string } {
  return error instanceof StoreFailed && error.sqlite !== undefined ? { sqlite: error.sqlite } : {}
}
