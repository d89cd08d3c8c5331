import type { PatientIdentifier } from '../../../core/exchange/asked/patient-search.ts'
import type { OutboxEntry } from '../../../core/outbox/entry.ts'
import type { Ports } from '../../ports/ports.ts'
import { keyOf } from '../errand/known-patients.ts'
import { InDoubt } from './in-doubt.ts'

type About = Pick<OutboxEntry, 'id' | 'destination'>

/**
 * Patients of whom a destination may be making something just now, because an entry of theirs went unheard. Others of the
 * same patient may carry the same readings (a call for attention those of its session, an average those of every source
 * that is linked to the patient), and one that looked for them too early would make them again; so it waits for as long as
 * the entry itself does, even where that was given up.
 */
export class PatientsInDoubt {
  readonly #doubts: InDoubt

  constructor(at: Pick<Ports, 'store' | 'clock' | 'policy'>) {
    this.#doubts = new InDoubt('patients', at)
  }

  /** How long an entry has to wait for another one of its patient, in ms; undefined when it need not. */
  waitFor({ id, destination }: About, patient: PatientIdentifier): number | undefined {
    if (this.#doubts.isEmpty) return undefined
    const waitMs = this.#doubts.waitMs(destination, keyOf(destination, patient), id)
    return waitMs > 0 ? waitMs : undefined
  }

  /** An entry arrived: what it left in doubt itself it has found, or made. */
  arrived({ id, destination }: About, patient: PatientIdentifier): void {
    if (!this.#doubts.isEmpty) this.#doubts.end(keyOf(destination, patient), id)
  }

  /** From here on, and until a moment (epoch ms), the patient of an entry is in doubt. */
  wentUnheard({ id, destination }: About, patient: PatientIdentifier, untilMs: number): void {
    this.#doubts.begin(keyOf(destination, patient), id, untilMs)
  }

  /** The same for all patients of a destination, where it is not known whom something was about. */
  somethingWentUnheard(destination: string, untilMs: number): void {
    this.#doubts.beginAll(destination, untilMs)
  }
}
