import { readFileSync } from 'node:fs'
import type { Bundle, Device, Observation, Quantity } from 'fhir/r4.js'
import { type HL7Node, Message } from 'node-hl7-client'
import { describe, expect, it } from 'vitest'
import { oruMessage } from '../../src/core/hl7v2/oru-message.ts'
import { emittedResources } from '../support/emitted-resources.ts'
import { messageDestination } from '../support/message-destination.ts'

/**
 * The parser of node-hl7-client 2.3.1 (MIT) reads our messages, and what it reads is held against the resources they
 * tell of. It decodes F, S, T, R and E; `.br` it leaves as it stands. Its paths count from 1, in MSH from the separator.
 */

const SAMPLE: [string, Bundle] = ['sample average-of-a-week', read('average-of-a-week')]
const EMITTED = emittedResources().flatMap(([name, resource]): [string, Bundle][] =>
  resource.resourceType === 'Bundle' ? [[name, resource]] : [],
)

describe.each([SAMPLE, ...EMITTED])('%s', (_name, bundle) => {
  it.each(['2.5.1', '2.6'] as const)('is read in version %s as what the resources say', (version) => {
    const message = new Message({ text: written(bundle, version) })
    expect(
      ['MSH.9.1', 'MSH.9.2', 'MSH.9.3', 'MSH.10', 'MSH.12', 'MSH.18'].map((path) => textAt(message, path)),
    ).toEqual(['ORU', 'R01', 'ORU_R01', '7f3c0001', version, 'UNICODE UTF-8'])
    expect(['PID.3.1', 'PID.3.4', 'PID.3.5'].map((path) => textAt(message, path))).toEqual([
      'LB|20^433',
      'CLINIC',
      'MR',
    ])
    const reports = reportsOf(message)
    const observations = observationsOf(bundle)
    expect(reports).toHaveLength(observations.length)
    for (const [at, report] of reports.entries()) {
      const told = expected(observations[at], at + 1, bundle)
      // Position, site and what our extensions hold stand behind the components.
      expect({ ...report, results: report.results.slice(0, told.results.length) }).toEqual(told)
    }
  })
})

/** What one Observation must come to, worked out from the resource alone. */
function expected(observation: Observation | undefined, setId: number, bundle: Bundle) {
  if (observation === undefined) throw new Error('a report without an Observation')
  const { code, component = [], status } = observation
  const start = observation.effectiveDateTime ?? observation.effectivePeriod?.start ?? ''
  const result = { final: 'F', amended: 'C', 'entered-in-error': 'D' }[status as string]
  const device = deviceOf(observation, bundle)
  const valued = observation.component === undefined ? [observation] : component
  return {
    header: [
      String(setId),
      observation.identifier?.[0]?.value,
      'BPGW',
      code.coding?.[0]?.code,
      code.coding?.[0]?.display ?? code.text,
      digits(start),
      digits(observation.effectivePeriod?.end ?? ''),
      digits(observation.issued ?? ''),
      result === 'F' ? 'F' : 'C',
    ],
    notes: (observation.note ?? []).map(({ text, authorReference }) =>
      authorReference === undefined ? text : `In the patient’s own words: ${text}`,
    ),
    results: valued.map((one) => [
      one.code.coding?.[0]?.code,
      '1',
      value(one),
      one.valueQuantity?.code ?? '',
      one.dataAbsentReason !== undefined && result !== 'D' ? 'X' : result,
      digits(start),
      device?.identifier?.[0]?.value ?? '',
    ]),
  }
}

function value(one: {
  valueQuantity?: Quantity | undefined
  valueBoolean?: boolean | undefined
  valueCodeableConcept?: Observation['code'] | undefined
}): string {
  if (one.valueQuantity !== undefined) return JSON.stringify(one.valueQuantity.value)
  if (one.valueBoolean !== undefined) return one.valueBoolean ? 'Y' : 'N'
  return one.valueCodeableConcept?.coding?.[0]?.code ?? ''
}

/** The same, as the library reads it. */
function reportsOf(message: Message) {
  const reports: { header: string[]; notes: string[]; results: string[][] }[] = []
  let results = 0
  message.forEach((row) => {
    const report = reports.at(-1)
    const at = (path: string) => textAt(row, path)
    if (row.name === 'OBR') {
      const header = ['1', '3.1', '3.2', '4.1', '4.2', '7', '8', '22', '25'].map(at)
      reports.push({ header, notes: [], results: [] })
      results = 0
    }
    // Behind the notes stand who vouches for the values, and the monitor.
    if (row.name === 'NTE' && results === 0 && !/^(?:Values|Measured with): /.test(at('3')))
      report?.notes.push(at('3'))
    if (row.name === 'OBX') {
      results += 1
      expect(at('1')).toBe(String(results))
      report?.results.push(['3.1', '4', '5.1', '6.1', '11', '14', '18.1'].map(at))
    }
  })
  return reports
}

function textAt(node: HL7Node, path: string): string {
  return node.get(path).toString()
}

function digits(time: string): string {
  return time
    .replace(/^(\d+)-(\d+)-(\d+)T(\d+):(\d+):(\d+)/, '$1$2$3$4$5$6')
    .replace(/:|Z/g, (mark) => (mark === 'Z' ? '+0000' : ''))
}

function deviceOf({ device }: Observation, { entry = [] }: Bundle): Device | undefined {
  const found = entry.find(({ fullUrl }) => fullUrl !== undefined && fullUrl === device?.reference)?.resource
  return found?.resourceType === 'Device' ? (found as Device) : undefined
}

function observationsOf({ entry = [] }: Bundle): readonly Observation[] {
  return entry.flatMap(({ resource }) =>
    resource?.resourceType === 'Observation' ? [resource as Observation] : [],
  )
}

function written(bundle: Bundle, version: '2.5.1' | '2.6'): string {
  return oruMessage(bundle, {
    destination: messageDestination({ version }),
    patient: { system: 'https://clinic.example/mrn', value: 'LB|20^433' },
    controlId: '7f3c0001',
    messageTime: '2026-03-09T08:00:00Z',
  })
}

function read(name: string): Bundle {
  const file = new URL(`../../samples/bundles/${name}.json`, import.meta.url)
  return JSON.parse(readFileSync(file, 'utf8'))
}
