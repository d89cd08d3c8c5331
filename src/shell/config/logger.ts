import { type DestinationStream, pino } from 'pino'
import { LOG_FIELDS, type Log, type LogFields } from '../../flow/ports/log-port.ts'
import type { Settings } from './settings/settings.ts'

/**
 * The log an operator reads: JSON lines on standard error by default. This is the one gate to it: only fields of
 * `LOG_FIELDS` pass, so a field that could hold health data is dropped (and named in `dropped`) even when a caller gets
 * around the compiler. An event is a fixed name in kebab-case, never built from input.
 */
export function createLog(settings: Pick<Settings, 'log'>, to: DestinationStream = standardError()): Log {
  const logger = pino(
    { level: settings.log.level, base: null, timestamp: pino.stdTimeFunctions.isoTime, messageKey: 'event' },
    to,
  )
  return {
    info: (event, fields) => logger.info(allowed(fields), event),
    warn: (event, fields) => logger.warn(allowed(fields), event),
    error: (event, fields) => logger.error(allowed(fields), event),
  }
}

const ALLOWED_FIELDS: ReadonlySet<string> = new Set(LOG_FIELDS)

/** Longest text of a field: codes and names are short; longer text is something that should not be here. */
const LONGEST_TEXT = 120

/** `error` is a sentence of our own (a rule, a place, an id), so what is too long of it is cut and the rest told. */
const LONGEST_ERROR = 400

function allowed(fields: LogFields = {}): Record<string, string | number | boolean> {
  const kept: Record<string, string | number | boolean> = {}
  const dropped: string[] = []
  for (const [key, value] of Object.entries(fields)) {
    const isLong = typeof value === 'string' && value.length > LONGEST_TEXT
    if (!ALLOWED_FIELDS.has(key) || (isLong && key !== 'error')) dropped.push(key)
    else kept[key] = isLong ? cut(value) : value
  }
  if (dropped.length > 0) kept.dropped = dropped.join(' ')
  return kept
}

function cut(text: string): string {
  return text.length > LONGEST_ERROR ? `${text.slice(0, LONGEST_ERROR)}…` : text
}

function standardError(): DestinationStream {
  return pino.destination({ dest: 2, sync: true })
}
