const MS_PER_MINUTE = 60_000
const MS_PER_DAY = 86_400_000
const DAYS_REMEMBERED = 4096

/** What a zone's offset from UTC is within one UTC day: `before` until `changesAtMs`, `after` from then on. */
interface DayOffsets {
  readonly before: number
  readonly changesAtMs: number
  readonly after: number
}

/**
 * The wall clock of one IANA zone. Intl is asked once for each UTC day, and what it said is remembered, so that reading
 * the clock for millions of instants costs a comparison and an addition each and allocates nothing.
 */
export class ZoneClock {
  readonly #format: Intl.DateTimeFormat
  readonly #days = new Map<number, DayOffsets>()
  #utcDay = Number.NaN
  #before = 0
  #changesAtMs = 0
  #after = 0

  constructor(zone: string) {
    this.#format = new Intl.DateTimeFormat('en-US', {
      timeZone: zone,
      calendar: 'iso8601',
      numberingSystem: 'latn',
      hourCycle: 'h23',
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
      hour: '2-digit',
      minute: '2-digit',
      second: '2-digit',
    })
  }

  /** Milliseconds by which the wall clock is ahead of UTC at an epoch instant. */
  offsetMs(epochMs: number): number {
    const utcDay = Math.floor(epochMs / MS_PER_DAY)
    if (utcDay !== this.#utcDay) this.#turnTo(utcDay)
    return epochMs < this.#changesAtMs ? this.#before : this.#after
  }

  /**
   * The wall clock at an epoch instant, as one number: minutes since 1970-01-01T00:00 on the same clock. Divided by
   * 1440 it is the day's number (`dayNumberOf`), and the remainder is the minute of that day.
   */
  localMinutes(epochMs: number): number {
    return Math.floor((epochMs + this.offsetMs(epochMs)) / MS_PER_MINUTE)
  }

  #turnTo(utcDay: number): void {
    let known = this.#days.get(utcDay)
    if (known === undefined) {
      known = this.#offsetsOf(utcDay)
      if (this.#days.size >= DAYS_REMEMBERED) this.#days.clear()
      this.#days.set(utcDay, known)
    }
    this.#utcDay = utcDay
    this.#before = known.before
    this.#changesAtMs = known.changesAtMs
    this.#after = known.after
  }

  /** No zone has changed its offset twice within one UTC day; the one change is found to the millisecond, by halving. */
  #offsetsOf(utcDay: number): DayOffsets {
    let low = utcDay * MS_PER_DAY
    let high = low + MS_PER_DAY - 1
    const before = this.#askOffset(low)
    const after = this.#askOffset(high)
    if (before === after) return { before, changesAtMs: low, after }
    while (high - low > 1) {
      const middle = Math.floor((low + high) / 2)
      if (this.#askOffset(middle) === before) low = middle
      else high = middle
    }
    return { before, changesAtMs: high, after }
  }

  #askOffset(epochMs: number): number {
    const part: Record<string, number> = {}
    for (const { type, value } of this.#format.formatToParts(epochMs)) part[type] = Number(value)
    const local = Date.UTC(
      part.year ?? 0,
      (part.month ?? 1) - 1,
      part.day ?? 1,
      part.hour ?? 0,
      part.minute ?? 0,
      part.second ?? 0,
    )
    return local - Math.floor(epochMs / 1000) * 1000
  }
}

const clocks = new Map<string, ZoneClock>()

/** The clock of a zone, made once. @throws RangeError for a name that is no zone. */
export function clockOf(zone: string): ZoneClock {
  let clock = clocks.get(zone)
  if (clock === undefined) {
    clock = new ZoneClock(zone)
    clocks.set(zone, clock)
  }
  return clock
}
