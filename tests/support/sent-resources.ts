import { NO_FINDINGS } from '../../src/core/clinical/finding.ts'
import { type SentResource, sentResources } from '../../src/core/exchange/sent-resource.ts'
import { averageBundle } from '../../src/core/fhir/average/average-bundle.ts'
import { sessionBundle } from '../../src/core/fhir/session/session-bundle.ts'
import { exampleAverage } from './example-average.ts'
import { EXAMPLE_RECORD, exampleContext, laterRecord } from './example-context.ts'
import { exampleSession } from './example-session.ts'

/** What is sent of a session that names its monitor, taken apart. */
export function sessionSent(): readonly SentResource[] {
  return sentResources(sessionBundle(withMonitor(), NO_FINDINGS, exampleContext(), EXAMPLE_RECORD))
}

/** The same after a correction: its Observations are updates. */
export function correctedSent(): readonly SentResource[] {
  const record = laterRecord([withMonitor()])
  return sentResources(sessionBundle(withMonitor(), NO_FINDINGS, exampleContext(), record))
}

/** What is sent of an average of a week. */
export function averageSent(): readonly SentResource[] {
  const { report, sittings, context } = exampleAverage()
  return sentResources(averageBundle(report, sittings, context))
}

/** The first of a type. */
export function firstOf(sent: readonly SentResource[], type: SentResource['type']): SentResource {
  const first = sent.find((one) => one.type === type)
  if (first === undefined) throw new Error(`nothing of type ${type} is sent`)
  return first
}

function withMonitor() {
  return exampleSession({ device: { manufacturer: 'Invented Instruments', model: 'Home 1', serial: 'A-1' } })
}
