import type { Bundle, Extension, Observation, Patient, Resource } from 'fhir/r4.js'
import { LOINC } from '../../../core/fhir/codes.ts'
import { ownUrls } from '../../../core/fhir/own-urls.ts'
import { DemoFailed } from './gateway-client.ts'

/** An average as the clinic's server holds it, read from its resources alone. */
export interface AverageInRecord {
  readonly patient: string
  readonly protocol: string
  readonly firstDay: string
  readonly lastDay: string
  readonly daysUsed: number
  readonly used: number
  readonly received: number
  /** mmHg, as written; absent when no reading counted. */
  readonly systolic?: number
  readonly diastolic?: number
  readonly labels: readonly { readonly title: string; readonly label: string }[]
  readonly leftOut: readonly { readonly reason: string; readonly text: string; readonly readings: number }[]
  /** The average without technique-flagged readings, when there are any. */
  readonly withoutFlagged?: {
    readonly flagged: number
    readonly systolic?: number
    readonly diastolic?: number
  }
  /** What a person reads in the record, a line each. */
  readonly notes: readonly string[]
  readonly interArm?: {
    /** mmHg, left less right, as written. */
    readonly systolic: number
    readonly higherArm: string
    /** The published limits it is above, in mmHg, each once, the lowest first. */
    readonly above: readonly number[]
  }
}

const COUNTED = ['Patient', 'Observation', 'Device', 'Provenance'] as const
export type ClinicCounts = Readonly<Record<(typeof COUNTED)[number], number>>

/** How many resources of each kind the clinic's server holds. */
export async function clinicCounts(baseUrl: string): Promise<ClinicCounts> {
  const totals = await Promise.all(COUNTED.map((type) => search(baseUrl, `${type}?_count=1&_total=accurate`)))
  const [patients = 0, observations = 0, devices = 0, provenances = 0] = totals.map(({ total }) => total)
  return { Patient: patients, Observation: observations, Device: devices, Provenance: provenances }
}

/** Reads the period averages back from the clinic's server. */
export async function averagesInRecord(
  baseUrl: string,
  canonicalBase: string,
): Promise<readonly AverageInRecord[]> {
  const { code } = LOINC.meanPanel
  const found = await search<Observation>(baseUrl, `Observation?code=http://loinc.org|${code}&_count=100`)
  const averages = (found.entry ?? []).flatMap(({ resource }) => resource ?? [])
  return Promise.all(
    averages.map(async (average) => {
      const patient = await get<Patient>(baseUrl, average.subject?.reference ?? '')
      return readAverage(average, patient, canonicalBase)
    }),
  )
}

function readAverage(average: Observation, patient: Patient, canonicalBase: string): AverageInRecord {
  const url = ownUrls(canonicalBase).extension
  const period = partsOf(average.extension, url.measurementPeriod)
  const sufficiency = partsOf(average.extension, url.sufficiency)
  const flagged = partsOf(average.extension, url.sensitivity)
  const interArm = partsOf(average.extension, url.interArmDifference)
  const systolic = componentValue(average, LOINC.meanSystolic.code)
  const diastolic = componentValue(average, LOINC.meanDiastolic.code)
  const [name] = patient.name ?? []
  return {
    patient: [...(name?.given ?? []), name?.family].join(' '),
    protocol: period.get('protocol')?.valueString ?? '',
    firstDay: period.get('firstDay')?.valueDate ?? '',
    lastDay: period.get('lastDay')?.valueDate ?? '',
    daysUsed: sufficiency.get('daysUsed')?.valueInteger ?? 0,
    used: average.derivedFrom?.length ?? 0,
    received: average.extension?.find((one) => one.url === url.readingsReceived)?.valueInteger ?? 0,
    ...(systolic === undefined ? {} : { systolic }),
    ...(diastolic === undefined ? {} : { diastolic }),
    labels: allPartsOf(average.extension, url.averageLabel).map((parts) => ({
      title: parts.get('title')?.valueString ?? '',
      label: parts.get('label')?.valueString ?? '',
    })),
    notes: (average.note ?? []).map(({ text }) => text),
    leftOut: byReason(allPartsOf(average.extension, url.exclusion)),
    ...(hasFlagged(flagged) ? { withoutFlagged: withoutFlagged(flagged) } : {}),
    ...(interArm.size === 0
      ? {}
      : {
          interArm: {
            systolic: interArm.get('systolic')?.valueQuantity?.value ?? Number.NaN,
            higherArm: interArm.get('higherArm')?.valueCode ?? '',
            above: limitsAbove(average.extension?.find((one) => one.url === url.interArmDifference)),
          },
        }),
  }
}

function limitsAbove(interArm: Extension | undefined): readonly number[] {
  const above = allPartsOf(interArm?.extension, 'limit')
    .filter((parts) => parts.get('above')?.valueBoolean === true)
    .flatMap((parts) => parts.get('value')?.valueQuantity?.value ?? [])
  return [...new Set(above)].toSorted((a, b) => a - b)
}

function hasFlagged(parts: Parts): boolean {
  return (parts.get('flaggedReadings')?.valueInteger ?? 0) > 0
}

function withoutFlagged(parts: Parts): NonNullable<AverageInRecord['withoutFlagged']> {
  const systolic = parts.get('systolic')?.valueQuantity?.value
  const diastolic = parts.get('diastolic')?.valueQuantity?.value
  return {
    flagged: parts.get('flaggedReadings')?.valueInteger ?? 0,
    ...(systolic === undefined ? {} : { systolic }),
    ...(diastolic === undefined ? {} : { diastolic }),
  }
}

type Parts = ReadonlyMap<string, Extension>

function allPartsOf(extensions: readonly Extension[] | undefined, url: string): readonly Parts[] {
  return (extensions ?? [])
    .filter((one) => one.url === url)
    .map((one) => new Map((one.extension ?? []).map((part) => [part.url, part])))
}

function partsOf(extensions: readonly Extension[] | undefined, url: string): Parts {
  return allPartsOf(extensions, url)[0] ?? new Map()
}

function byReason(exclusions: readonly Parts[]): AverageInRecord['leftOut'] {
  const reasons = new Map<string, { reason: string; text: string; readings: number }>()
  for (const parts of exclusions) {
    const reason = parts.get('reason')?.valueCoding?.code ?? ''
    const known = reasons.get(reason) ?? { reason, text: parts.get('text')?.valueString ?? '', readings: 0 }
    known.readings += 1
    reasons.set(reason, known)
  }
  return [...reasons.values()]
}

function componentValue(observation: Observation, code: string): number | undefined {
  const component = observation.component?.find((one) =>
    one.code.coding?.some((coding) => coding.code === code),
  )
  return component?.valueQuantity?.value
}

async function search<R extends Resource>(
  baseUrl: string,
  query: string,
): Promise<Bundle<R> & { readonly total: number }> {
  const bundle = await get<Bundle<R>>(baseUrl, query)
  return { ...bundle, total: bundle.total ?? 0 }
}

async function get<R>(baseUrl: string, path: string): Promise<R> {
  const response = await fetch(`${baseUrl}/${path}`, { headers: { accept: 'application/fhir+json' } })
  if (!response.ok) throw new DemoFailed(`the clinic’s server answered ${response.status} to a read`)
  return (await response.json()) as R
}
