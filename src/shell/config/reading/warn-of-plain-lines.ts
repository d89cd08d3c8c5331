import type { Destination } from '../../../core/registry/destination.ts'
import type { Log } from '../../../flow/ports/ports.ts'
import { isInTheClear } from './destination-contradictions.ts'
import { isLoopback } from './refuse-unsafe-listening.ts'

/**
 * Warns, once at start, of each destination that is sent patients’ data over a line without TLS. It is not refused: a
 * private line may guard it. Credentials over such a line are.
 */
export function warnOfPlainLines(destinations: readonly Destination[], log: Log): void {
  for (const destination of destinations) {
    if (isPlain(destination)) log.warn('destination-without-tls', { destination: destination.name })
  }
}

function isPlain(destination: Destination): boolean {
  return destination.kind === 'fhir'
    ? isInTheClear(destination.baseUrl)
    : destination.tls === undefined && !isLoopback(destination.host)
}
