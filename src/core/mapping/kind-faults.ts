import type { DocumentPath } from './document-lines.ts'
import type { KindDocument } from './mapping-document.ts'

interface KindFault {
  /** From the kind. */
  readonly path: DocumentPath
  readonly expected: string
}

/** What the keys of a kind say together that cannot be meant. */
export function* kindFaults(kind: KindDocument): Generator<KindFault> {
  if (kind.skip === true) {
    for (const key of IDLE_BESIDE_SKIP) {
      if (kind[key] !== undefined) yield { path: [key], expected: 'nothing else of a kind that is skipped' }
    }
    return
  }
  if ((kind.reading === undefined) === (kind.readings === undefined)) {
    yield { path: [], expected: 'exactly one of reading, readings' }
    return
  }
  if (kind.completes === true) yield* completingFaults(kind)
  else yield* readingFaults(kind)
}

const IDLE_BESIDE_SKIP = [
  'recordSchema',
  'refuse',
  'corrects',
  'withdraws',
  'session',
  'reading',
  'readings',
  'completes',
] as const

type ReadingDocument = NonNullable<KindDocument['reading']>

function* completingFaults({ session = {}, reading }: KindDocument): Generator<KindFault> {
  const besides = Object.keys(session).filter((place) => place !== 'subject')
  for (const place of besides) {
    yield {
      path: ['session', place],
      expected: 'only the subject: what completes a reading says nothing of the sitting',
    }
  }
  if (reading === undefined) {
    yield { path: ['readings'], expected: 'reading: a record completes one reading' }
    return
  }
  if (reading.takenAt === undefined) {
    yield { path: ['reading'], expected: 'a rule for takenAt, which tells the reading that is completed' }
  }
  for (const pressure of PRESSURES) {
    if (reading[pressure] === undefined) continue
    yield { path: ['reading', pressure], expected: 'no pressure: what completes a reading has none' }
  }
  if (Object.keys(reading).every((place) => place === 'takenAt')) {
    yield { path: ['reading'], expected: 'a rule for what is completed, such as the pulse' }
  }
}

function* readingFaults({ reading, readings }: KindDocument): Generator<KindFault> {
  if (reading !== undefined) {
    yield* pressureFaults(reading, ['reading'])
    return
  }
  const { each, reading: ofEach, sets } = readings ?? {}
  if ((each === undefined) === (sets === undefined) || (each === undefined) !== (ofEach === undefined)) {
    yield { path: ['readings'], expected: 'each with reading, or sets' }
    return
  }
  if (ofEach !== undefined) yield* pressureFaults(ofEach, ['readings', 'reading'])
  for (const [index, set] of (sets ?? []).entries()) yield* pressureFaults(set, ['readings', 'sets', index])
}

const PRESSURES = ['systolic', 'diastolic'] as const

/** Both, because the native record has both; where the source may have none, the rule says so. */
function* pressureFaults(reading: ReadingDocument, path: DocumentPath): Generator<KindFault> {
  for (const pressure of PRESSURES) {
    if (reading[pressure] === undefined) yield { path, expected: `a rule for ${pressure}` }
  }
}
