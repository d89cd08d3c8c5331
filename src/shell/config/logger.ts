import { type DestinationStream, pino } from 'pino'
import type { Log, LogFields } from '../../flow/ports.ts'
import type { Settings } from './settings.ts'

/**
 * The log an operator reads: JSON lines on standard error by default. This is the one gate to it: only fields of
 * `ALLOWED_FIELDS` pass, so a field that could hold health data is dropped (and named in `dropped`) even when a caller
 * errs. An event is a fixed name in kebab-case, never built from input.
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

/** Codes, counts, sizes, durations, names of sources and destinations, UUIDs of our own making. Nothing else. */
const ALLOWED_FIELDS: ReadonlySet<string> = new Set([
  'about',
  'action',
  'alreadyThere',
  'answer',
  'attempts',
  'bytes',
  'closed',
  'code',
  'count',
  'created',
  'delivered',
  'destination',
  'due',
  'entry',
  'error',
  'failed',
  'givenUp',
  'host',
  'incident',
  'job',
  'kept',
  'kind',
  'line',
  'method',
  'ms',
  'outcome',
  'period',
  'place',
  'port',
  'problem',
  'protocol',
  'received',
  'records',
  'refused',
  'requestId',
  'retryAfterMs',
  'route',
  'same',
  'session',
  'signal',
  'source',
  'status',
  'task',
  'version',
])

/** Longest text of a field: codes and names are short; longer text is something that should not be here. */
const LONGEST_TEXT = 120

function allowed(fields: LogFields = {}): Record<string, string | number | boolean> {
  const kept: Record<string, string | number | boolean> = {}
  const dropped: string[] = []
  for (const [key, value] of Object.entries(fields)) {
    if (ALLOWED_FIELDS.has(key) && (typeof value !== 'string' || value.length <= LONGEST_TEXT))
      kept[key] = value
    else dropped.push(key)
  }
  if (dropped.length > 0) kept.dropped = dropped.join(' ')
  return kept
}

function standardError(): DestinationStream {
  return pino.destination({ dest: 2, sync: true })
}
