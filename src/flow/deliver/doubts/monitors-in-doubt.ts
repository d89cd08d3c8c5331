import type { OutboxEntry } from '../../../core/outbox/entry.ts'
import type { Ports } from '../../ports/ports.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'
import type { HeldLedger } from '../errand/held-ledger.ts'
import { monitorsIn } from '../monitors/monitors-in.ts'
import { InDoubt } from './in-doubt.ts'

type About = Pick<OutboxEntry, 'id' | 'destination'>
type Brings = Pick<RenderedDelivery, 'outline'>

/**
 * Monitors that a destination may be making just now, because an entry that brings one went unheard. People share monitors,
 * and another one's entry that looked for it too early would not find it, and make it again; so it waits for as long as the
 * entry itself does, unless the monitor is known as held.
 */
export class MonitorsInDoubt {
  readonly #doubts: InDoubt

  constructor(at: Pick<Ports, 'store' | 'clock' | 'policy'>) {
    this.#doubts = new InDoubt('monitors', at)
  }

  /** How long an entry has to wait for a monitor that another one brings, in ms; undefined when it need not. */
  async waitFor(
    { id, destination }: About,
    rendered: Brings,
    ledger: Pick<HeldLedger, 'load' | 'get'>,
  ): Promise<number | undefined> {
    if (this.#doubts.isEmpty) return undefined
    const inDoubt = monitorsIn(destination, rendered)
      .map(({ uuid, key }) => ({ uuid, waitMs: this.#doubts.waitMs(destination, key, id) }))
      .filter(({ waitMs }) => waitMs > 0)
    if (inDoubt.length === 0) return undefined
    await ledger.load(inDoubt.map(({ uuid }) => uuid))
    const waits = inDoubt.filter(({ uuid }) => ledger.get(uuid) === undefined).map(({ waitMs }) => waitMs)
    return waits.length === 0 ? undefined : Math.max(...waits)
  }

  /** An entry arrived: the destination holds the monitors that it brought. */
  arrived({ destination }: About, rendered: Brings): void {
    if (this.#doubts.isEmpty) return
    for (const { key } of monitorsIn(destination, rendered)) this.#doubts.end(key)
  }

  /** From here on, and until a moment (epoch ms), the monitors that an entry brings are in doubt. */
  wentUnheard({ id, destination }: About, rendered: Brings, untilMs: number): void {
    for (const { key } of monitorsIn(destination, rendered)) this.#doubts.begin(key, id, untilMs)
  }

  /** The same for all monitors of a destination, where it is not known which of them something brought. */
  somethingWentUnheard(destination: string, untilMs: number): void {
    this.#doubts.beginAll(destination, untilMs)
  }
}
