import type { Chooser } from './chooser.ts'
import type { JsonTree } from './json-tree.ts'
import { INHERITED_NAMES, oddNumber, oddText } from './odd-values.ts'

/** Words of all the formats, so that what is random now and then looks like something. */
const KNOWN_NAMES = [
  'header',
  'body',
  'schema_id',
  'resourceType',
  'code',
  'coding',
  'component',
  'valueQuantity',
  'value',
  'unit',
  'characteristic',
  'encoding',
  'subject',
  'readings',
  'takenAt',
  'systolic',
] as const

/** Any JSON at all, at most so deep. */
export function randomJson(random: Chooser, depth = 4): JsonTree {
  const kind = depth === 0 ? 'leaf' : random.of(['leaf', 'leaf', 'items', 'members'])
  if (kind === 'leaf') return randomLeaf(random)
  const length = random.whole(0, 4)
  if (kind === 'items') return { items: Array.from({ length }, () => randomJson(random, depth - 1)) }
  return {
    members: Array.from({ length }, () => [
      random.happens(0.1) ? random.of(INHERITED_NAMES) : random.of(KNOWN_NAMES),
      randomJson(random, depth - 1),
    ]),
  }
}

/** A value that holds no others. */
export function randomLeaf(random: Chooser): JsonTree {
  const text = random.of([
    'true',
    'false',
    'null',
    oddNumber(random),
    JSON.stringify(oddText(random)),
    JSON.stringify(oddText(random)),
  ])
  return { text }
}
