import type { Log, LogFields } from '../../src/flow/ports/ports.ts'

export interface RecordedLog extends Log {
  readonly lines: readonly { readonly level: string; readonly event: string; readonly fields?: LogFields }[]
}

/** A log that keeps its lines, so that a test can look for what must and must not stand in them. */
export function recordedLog(): RecordedLog {
  const lines: { level: string; event: string; fields?: LogFields }[] = []
  const at = (level: string) => (event: string, fields?: LogFields) => {
    lines.push(fields === undefined ? { level, event } : { level, event, fields })
  }
  return { lines, info: at('info'), warn: at('warn'), error: at('error') }
}
