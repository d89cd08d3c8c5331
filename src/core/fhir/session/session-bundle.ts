import type { Bundle, Observation, Reference } from 'fhir/r4.js'
import { frozen } from '../../basics/frozen.ts'
import type { Finding } from '../../clinical/finding.ts'
import { NO_FINDINGS } from '../../clinical/finding.ts'
import type { Session } from '../../clinical/session.ts'
import type { ConversionContext } from '../conversion-context.ts'
import { submissionProvenance } from '../provenance.ts'
import type { SubmittedRecord } from '../submitted-record.ts'
import {
  createByIdentifier,
  createByTag,
  type TransactionEntry,
  updateByIdentifier,
} from '../transaction-entry.ts'
import { monitorDevice } from './monitor-device.ts'
import { sessionObservations } from './session-observations.ts'

/**
 * Everything a clinic's server is to hold of one session, as one transaction: the monitor, the Observations, and the
 * Provenance that ties them to the record as it was received. Each is a conditional create or update under our own
 * identifier, so sending it twice makes nothing twice.
 */
export function sessionBundle(
  session: Session,
  findings: readonly Finding[],
  context: ConversionContext,
  record: SubmittedRecord,
): Bundle {
  return {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: sessionEntries(session, findings, context, record),
  }
}

/**
 * The entries of `sessionBundle`, to be put in a larger transaction.
 *
 * What was received once is created. A corrected session is updated: what an earlier version held is `amended`, what it
 * held and the newest does not is `entered-in-error`, and what is new in it is `final`. Of a session that was taken
 * back everything is `entered-in-error`; the numbers stay, so that nobody wonders what was there.
 * Source: FHIR R4 4.0.1 observation-status.
 */
export function sessionEntries(
  session: Session,
  findings: readonly Finding[],
  context: ConversionContext,
  record: SubmittedRecord,
): TransactionEntry[] {
  const { withIds: _, ...inTransaction } = { ...context, receivedAt: record.receivedAt }
  const now = observed(session, findings, inTransaction)
  const observations =
    record.version === 1 && !record.withdrawn
      ? now.observations.map(createByIdentifier)
      : changedEntries(now, record, inTransaction)
  const targets: Reference[] = observations
    .filter(({ resource }) => resource?.resourceType === 'Observation')
    .map(({ fullUrl }) => ({ reference: fullUrl }))
  return [
    ...now.device,
    ...observations,
    createByTag(submissionProvenance(session, targets, inTransaction, record)),
  ]
}

/** What one version of a session comes to: its monitor, when it names one, and its Observations. */
interface Observed {
  readonly device: readonly TransactionEntry[]
  readonly observations: readonly Observation[]
}

function observed(session: Session, findings: readonly Finding[], context: ConversionContext): Observed {
  const device = monitorDevice(session, context)
  if (device === undefined)
    return { device: [], observations: sessionObservations(session, findings, context) }
  const entry = createByIdentifier(device)
  return {
    device: [entry],
    observations: sessionObservations(session, findings, {
      ...context,
      device: frozen({ reference: entry.fullUrl }),
    }),
  }
}

/** The updates of a changed session, and the monitors that only its earlier versions name. */
function changedEntries(
  now: Observed,
  { withdrawn, earlier }: SubmittedRecord,
  context: ConversionContext,
): TransactionEntry[] {
  const before = earlier.toReversed().map((session) => observed(session, NO_FINDINGS, context))
  const known = new Set(before.flatMap(({ observations }) => observations.map(idOf)))
  const stands = now.observations.map((observation) =>
    withStatus(
      observation,
      withdrawn ? 'entered-in-error' : known.has(idOf(observation)) ? 'amended' : 'final',
    ),
  )
  const written = new Map(stands.map((observation) => [idOf(observation), observation]))
  const devices = new Map<string, TransactionEntry>()
  for (const { device, observations } of before) {
    for (const observation of observations) {
      if (written.has(idOf(observation))) continue
      written.set(idOf(observation), withStatus(observation, 'entered-in-error'))
      for (const entry of device) devices.set(entry.fullUrl, entry)
    }
  }
  for (const { fullUrl } of now.device) devices.delete(fullUrl)
  return [...devices.values(), ...[...written.values()].map(updateByIdentifier)]
}

function withStatus(observation: Observation, status: Observation['status']): Observation {
  return { ...observation, status }
}

function idOf({ identifier }: Observation): string | undefined {
  return identifier?.[0]?.value
}
