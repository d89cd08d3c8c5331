import { randomUUID } from 'node:crypto'
import type { AuditRow } from '../../../src/core/audit/audit-entry.ts'
import { type Delivered, deliverOutbox } from '../../../src/flow/deliver/deliver-outbox.ts'
import { type ToldDeliveryInFull, toldInFull } from '../../../src/flow/operate/told-delivery.ts'
import type { AccessTokens } from '../../../src/shell/fhir-server/access-tokens.ts'
import { createClinicServers } from '../../../src/shell/fhir-server/clinic-servers.ts'
import { type FlowsOptions, type OpenFlows, openFlows } from '../open-flows.ts'
import type { ClinicBehaviour } from './clinic-behaviour.ts'
import type { HostileClinic } from './hostile-clinic.ts'
import { type StartedClinic, startHostileClinic } from './start-hostile-clinic.ts'

/** The real flows, store and door out, and a clinic's server at the other end of a socket. */
export interface DeliveryOverSocket {
  readonly flows: OpenFlows
  readonly clinic: HostileClinic
  /** The clinic with its socket, for another gateway. */
  readonly started: StartedClinic
  /** One round, now. */
  deliver(): Promise<Delivered>
  /** One round, an hour after the last, or after so many milliseconds. */
  deliverLater(ms?: number): Promise<Delivered>
  /** The moment at which things stand, epoch ms. */
  nowMs(): number
  /** An entry as an operator is told of it; the first one when no number is given. */
  told(id?: number): Promise<ToldDeliveryInFull>
  /** The audit row of the last attempt at anything. */
  lastAttempt(): Promise<AuditRow>
  auditRows(): Promise<readonly AuditRow[]>
  close(): Promise<void>
}

export interface DeliveryOverSocketOptions extends Omit<FlowsOptions, 'clinic' | 'baseUrl'> {
  readonly behaviour?: Partial<ClinicBehaviour>
  readonly tokens?: AccessTokens
  /** A clinic that is there already, and is left to whoever started it. */
  readonly started?: StartedClinic
}

/** The system of the clinic's own identifiers, as `openFlows` enrols with it. */
const MRN = 'https://clinic.example/mrn'

/** The time limit of the door; what is to be slower than that says so. */
export const TIME_LIMIT_MS = 1_500

export async function openDeliveryOverSocket({
  behaviour = {},
  tokens,
  started,
  ...options
}: DeliveryOverSocketOptions = {}): Promise<DeliveryOverSocket> {
  const patients = ['HW-1', 'HW-2', 'HW-3'].map((subject) => ({ system: MRN, value: `P-${subject}` }))
  const server = started ?? (await startHostileClinic({ patients, behaviour }))
  let nowMs = Date.parse('2026-03-10T12:00:00Z')
  // The flows bring their log; the door writes into it once they are open.
  let flows: OpenFlows | undefined
  const log = {
    info: (...line: Parameters<OpenFlows['log']['info']>) => flows?.log.info(...line),
    warn: (...line: Parameters<OpenFlows['log']['warn']>) => flows?.log.warn(...line),
    error: (...line: Parameters<OpenFlows['log']['error']>) => flows?.log.error(...line),
  }
  const clinic = createClinicServers({
    clock: { now: () => nowMs },
    log,
    newRequestId: randomUUID,
    timeoutMs: TIME_LIMIT_MS,
    // What rests is told elsewhere; here each answer is to be heard.
    failuresBeforeRest: 1_000,
    ...(tokens === undefined ? {} : { tokens }),
  })
  const opened = await openFlows({
    now: new Date(nowMs).toISOString(),
    clinic,
    baseUrl: server.baseUrl,
    ...options,
  })
  flows = opened
  const { store } = opened.ports
  const deliver = () => deliverOutbox(opened.ports)
  const auditRows = () => store.auditPage({ limit: 200 })
  return {
    flows: opened,
    clinic: server.clinic,
    started: server,
    deliver,
    deliverLater(ms = 3_600_000) {
      nowMs += ms
      opened.setClock(new Date(nowMs).toISOString())
      return deliver()
    },
    nowMs: () => nowMs,
    async told(id) {
      const [first] = await store.deliveryPage({ limit: 1 })
      const delivery = await store.delivery(id ?? first?.id ?? 0)
      if (delivery === undefined) throw new Error('there is no such delivery')
      return toldInFull(delivery)
    },
    async lastAttempt() {
      const row = (await auditRows()).findLast(({ action }) => action === 'delivery-attempted')
      if (row === undefined) throw new Error('nothing was attempted')
      return row
    },
    auditRows,
    async close() {
      await opened.close()
      if (started === undefined) await server.close()
    },
  }
}
