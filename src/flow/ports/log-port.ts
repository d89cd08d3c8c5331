/**
 * Every field that a line of the log may have: codes, counts, durations, names of sources, destinations and the store’s
 * file, ids of our own making, sentences of our own. None can hold health data, and whoever passes another is refused by
 * the compiler.
 */
export const LOG_FIELDS = [
  'answer',
  'cause',
  'code',
  'controlId',
  'corrected',
  'destination',
  'entry',
  'error',
  'ignored',
  'incident',
  'job',
  'kept',
  'kind',
  'method',
  'moving',
  'ms',
  'period',
  'place',
  'problem',
  'received',
  'refused',
  'requestId',
  'rung',
  'same',
  'skipped',
  'source',
  'sqlite',
  'status',
  'storeFile',
  'withdrawn',
] as const

type LogField = (typeof LOG_FIELDS)[number]

export type LogFields = Readonly<Partial<Record<LogField, string | number | boolean>>>

/** Structured events for operators. Never a measured value, a subject, a name, free text or a body. */
export interface Log {
  info: WriteLine
  warn: WriteLine
  error: WriteLine
}

type WriteLine = <Fields extends LogFields>(event: string, fields?: Fields & OnlyListed<Fields>) => void

/** Of each kind of value that may be passed, spread ones too: no key beside those listed. */
type OnlyListed<Fields> = Fields extends unknown ? Record<Exclude<keyof Fields, LogField>, never> : never
