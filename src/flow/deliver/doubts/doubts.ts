import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import type { OutboxEntry } from '../../../core/outbox/entry.ts'
import type { Ports } from '../../ports/ports.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'
import type { CourseResult } from '../errand/course.ts'
import type { HeldLedger } from '../errand/held-ledger.ts'
import { MonitorsInDoubt } from './monitors-in-doubt.ts'
import { PatientsInDoubt } from './patients-in-doubt.ts'

type About = Pick<OutboxEntry, 'id' | 'destination'>
type Brings = Pick<RenderedDelivery, 'outline' | 'patient'>

/** Why an entry has to wait for what another one may have made, and how long. */
export interface DoubtfulWait {
  readonly problem: ErrorCode
  readonly retryAfterMs: number
}

/** What destinations may be making just now for entries that nobody heard of, and what waits until that shows. */
export class Doubts {
  readonly monitors: MonitorsInDoubt
  readonly patients: PatientsInDoubt
  readonly #at: Pick<Ports, 'clock' | 'policy'>

  constructor(at: Pick<Ports, 'store' | 'clock' | 'policy'>) {
    this.monitors = new MonitorsInDoubt(at)
    this.patients = new PatientsInDoubt(at)
    this.#at = at
  }

  /** Undefined when the entry need not wait. */
  async waitFor(
    entry: About,
    rendered: Brings,
    ledger: Pick<HeldLedger, 'load' | 'get'>,
  ): Promise<DoubtfulWait | undefined> {
    const ofPatient = this.patients.waitFor(entry, rendered.patient)
    if (ofPatient !== undefined) return { problem: 'PATIENT_IN_DOUBT', retryAfterMs: ofPatient }
    const ofMonitor = await this.monitors.waitFor(entry, rendered, ledger)
    return ofMonitor === undefined ? undefined : { problem: 'MONITOR_IN_DOUBT', retryAfterMs: ofMonitor }
  }

  /** To be told of what an entry came to; nothing where its attempt was broken off, and nobody knows how far it came. */
  ended(
    entry: About,
    rendered: Brings,
    result: CourseResult | undefined,
    ledger: Pick<HeldLedger, 'isInDoubt'>,
  ): void {
    if (result?.kind === 'done') {
      this.monitors.arrived(entry, rendered)
      this.patients.arrived(entry, rendered.patient)
    } else if (result === undefined || isUnheard(result) || ledger.isInDoubt) {
      const untilMs = this.#at.clock.now() + this.#at.policy.delivery.quietMs
      this.monitors.wentUnheard(entry, rendered, untilMs)
      this.patients.wentUnheard(entry, rendered.patient, untilMs)
    }
  }
}

function isUnheard(result: CourseResult): boolean {
  return result.kind === 'unknown' || (result.kind === 'park' && result.problem === 'OUTCOME_UNKNOWN')
}
