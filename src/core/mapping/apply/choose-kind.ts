import type { Condition, Kind } from '../compiled-kind.ts'
import type { Mapping } from '../mapping.ts'
import type { SourcePath } from '../source-path.ts'
import type { RecordView } from './record-view.ts'

/** The first kind that fits the record; undefined when none does, which is told. */
export function chooseKind(mapping: Mapping, view: RecordView): Kind | undefined {
  let nearest: Condition | undefined
  let mostHeld = -1
  for (const kind of mapping.kinds) {
    const held = kind.when.findIndex((condition) => !holds(condition, view))
    if (held === -1) return kind
    if (held > mostHeld) {
      mostHeld = held
      nearest = kind.when[held]
    }
  }
  if (nearest !== undefined) tellUnknown(mapping, nearest, view)
  return undefined
}

/** Told at the condition that kept the record from the kind it comes nearest to: the one whose conditions held longest. */
function tellUnknown(mapping: Mapping, nearest: Condition, view: RecordView): void {
  const known = mapping.kinds
    .map(({ name }) => name)
    .slice(0, MOST_TOLD)
    .join(', ')
  const told = {
    code: 'UNKNOWN_KIND',
    expected: `${wanted(nearest)}, or another record of a kind the mapping knows: ${known}`,
    remedy: 'Send records of these kinds, or add the kind to the mapping.',
  } as const
  view.tell(told, '', nearest, placeAsked(nearest.path, view))
}

const MOST_TOLD = 12

function wanted({ test, values }: Condition): string {
  const listed = [...values]
    .slice(0, MOST_TOLD)
    .map((value) => JSON.stringify(value))
    .join(', ')
  switch (test) {
    case 'is':
      return values.size === 1 ? listed : `one of ${listed}`
    case 'isNot':
      return values.size === 1 ? `not ${listed}` : `none of ${listed}`
    case 'present':
      return 'a value'
    case 'absent':
      return 'nothing'
  }
}

/** Where a condition looks: what it found there, or where that would have stood. */
export function placeAsked(path: SourcePath, view: RecordView) {
  const [found] = view.find(path)
  return found === undefined ? view.placeOfNothing(path) : view.placeOf(path, found)
}

/** `is`: a value there is listed; `isNot`: one there is not listed, or there is none. */
export function holds({ path, test, values }: Condition, view: RecordView): boolean {
  const found = view.find(path)
  switch (test) {
    case 'is':
      return found.some(({ value }) => values.has(value))
    case 'isNot':
      return found.length === 0 || found.some(({ value }) => !values.has(value))
    case 'present':
      return found.length > 0
    case 'absent':
      return found.length === 0
  }
}
