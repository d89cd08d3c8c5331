import { textOf } from '../found.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import type { FoundAverage } from '../stated/find-averages.ts'
import { type OwnStatements, partOf } from '../stated/own-statements.ts'
import { type Sentence, sentencesOf } from '../stated/sentences.ts'
import { statedCounts } from '../stated/stated-average.ts'

/** What a sentence repeats of the average: where that is stated, and as what. */
interface Repeated {
  readonly at: string
  readonly value: string
}

/**
 * What a home average rests on, as its text or a note tells it in the form of `clinical/report/period-narrative.ts`,
 * beside what it states: days, numbers of readings, and its labels. A reader of the chart sees these words and no
 * extension. What both text and notes tell wrongly is told once, and nothing of a value that was found wrong itself.
 *
 * @param wrong FHIRPaths of the statements that are known not to follow from the readings.
 */
export function compareOwnBasis(
  found: FoundAverage,
  own: OwnStatements,
  wrong: ReadonlySet<string>,
): readonly AverageDifference[] {
  const differences = new Map<string, AverageDifference>()
  for (const sentence of sentencesOf(found.average)) {
    for (const one of [...basisIn(sentence, found, own, wrong), ...labelsIn(sentence, own, wrong)]) {
      const key = `${one.what} ${one.found}`
      if (!differences.has(key)) differences.set(key, one)
    }
  }
  return [...differences.values()]
}

const DAYS = '(?<firstDay>[-\\d]{10}) to (?<lastDay>[-\\d]{10}) \\([^)]*\\)'
const RESTS = '(?<used>\\d+) of (?<received>\\d+) readings? received, on (?<days>\\d+) days?,'

const FORMS = [
  new RegExp(`^Home averages? .*, ${DAYS}: means? of ${RESTS}`),
  new RegExp(
    `^No home average for ${DAYS}: (?:none of the (?<received>\\d+) readings?|no readings were) received`,
  ),
]

type Told = 'firstDay' | 'lastDay' | 'used' | 'received' | 'days'

const IN_WORDS: Readonly<Record<Told, string>> = {
  firstDay: 'first day of the period',
  lastDay: 'last day of the period',
  used: 'number of readings',
  received: 'number of readings received',
  days: 'days with a reading averaged',
}

function basisIn(
  { at, text }: Sentence,
  found: FoundAverage,
  own: OwnStatements,
  wrong: ReadonlySet<string>,
): readonly AverageDifference[] {
  const said = FORMS.map((form) => form.exec(text)?.groups).find((groups) => groups !== undefined)
  if (said === undefined) return []
  return (Object.keys(IN_WORDS) as Told[]).flatMap((name) => {
    const told = said[name]
    const stated = told === undefined ? undefined : statedOf(name, found, own)
    if (told === undefined || stated === undefined || stated.value === told || wrong.has(stated.at)) return []
    return [inItsOwnWords(IN_WORDS[name], at, stated.value, told)]
  })
}

function statedOf(name: Told, found: FoundAverage, own: OwnStatements): Repeated | undefined {
  if (name === 'firstDay' || name === 'lastDay') return { at: '', value: own[name] }
  if (name === 'used') {
    const [count] = statedCounts(found.average)
    return count === undefined ? undefined : { at: count.at, value: String(count.value) }
  }
  const [received] = own.extensions.get('readings-received') ?? []
  const [sufficiency] = own.extensions.get('sufficiency') ?? []
  const one = name === 'received' ? received : sufficiency && partOf(sufficiency, 'daysUsed')
  const number = one?.value.valueInteger
  return one === undefined || typeof number !== 'number'
    ? undefined
    : { at: `${one.at}.value`, value: String(number) }
}

const LABELS = / \(unrounded mean; the worse of systolic and diastolic\)\.$/

/** Each label it states has to stand in the sentence, capitals aside: that begins with one. */
function labelsIn(
  { at, text }: Sentence,
  own: OwnStatements,
  wrong: ReadonlySet<string>,
): readonly AverageDifference[] {
  if (!LABELS.test(text)) return []
  const said = text.replace(LABELS, '')
  const labels = own.extensions.get('average-label') ?? []
  return labels.flatMap((one): readonly AverageDifference[] => {
    const label = partOf(one, 'label')
    const words = textOf(label?.value.valueString)
    if (label === undefined || words === undefined || wrong.has(`${label.at}.value`)) return []
    const [title, window] = ['title', 'window'].map((name) => textOf(partOf(one, name)?.value.valueString))
    const whole = `${title ?? ''}${window === undefined ? '' : `, ${window}`}: ${words}`
    if (`${said.toLowerCase()};`.includes(`${whole.toLowerCase()};`)) return []
    return [inItsOwnWords('label', at, whole, said)]
  })
}

function inItsOwnWords(what: string, at: string, stated: string, told: string): AverageDifference {
  return { what: `${what} in its own words`, at, expected: `${stated}, as it states`, found: told }
}
