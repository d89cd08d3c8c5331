import type { PlacedReading } from './period-average.ts'
import { bySitting } from './place-readings.ts'
import type { RowOrigins } from './reading-columns.ts'

type OfSitting = Pick<PlacedReading, 'session' | 'source' | 'receivedMs'>

/**
 * Where rows came from; undefined when all came through one source.
 *
 * Of one reading that came through two, the one that states more of its limb stands: else a person's readings would fall
 * apart into limbs by which of the two was quicker that day. Otherwise the one whose sitting was received first, in the
 * version that counts; then by sitting id and source.
 */
export function rowOrigins(rows: readonly OfSitting[]): RowOrigins | undefined {
  const sources = numbersOf(rows.map(({ source }) => source ?? ''))
  if (sources.size < 2) return undefined
  const serials = numbersOf(rows.flatMap(({ session }) => session.device?.serial ?? []))
  const inTurn = [...new Map(rows.map((row) => [row.session, row])).values()].sort(byPrecedence)
  const places = new Map(inTurn.map(({ session }, place) => [session, place]))
  return {
    source: Int32Array.from(rows, ({ source }) => sources.get(source ?? '') ?? 0),
    precedence: Int32Array.from(rows, ({ session }) => places.get(session) ?? 0),
    serial: Int32Array.from(rows, ({ session }) => serials.get(session.device?.serial ?? '') ?? 0),
  }
}

function byPrecedence(a: OfSitting, b: OfSitting): number {
  return notStated(a) - notStated(b) || receivedMs(a) - receivedMs(b) || bySitting(a, b)
}

/** How much of its limb a sitting leaves open. */
function notStated({ session }: OfSitting): number {
  return Number(session.arm === undefined) + Number(session.site === undefined)
}

/** What was received at an unknown time goes after all else. */
function receivedMs({ receivedMs = Number.MAX_SAFE_INTEGER }: OfSitting): number {
  return receivedMs
}

/** Each text with a number of its own, from 1. */
function numbersOf(texts: readonly string[]): ReadonlyMap<string, number> {
  return new Map([...new Set(texts)].map((text, place) => [text, place + 1]))
}
