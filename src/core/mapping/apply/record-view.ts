import type { Issue } from '../../basics/issue.ts'
import type { SourceRecord } from '../../basics/source-record.ts'
import type { PlaceInMapping } from '../compiled-kind.ts'
import type { Mapping } from '../mapping.ts'
import { normalizedSteps } from '../normalized-path.ts'
import type { Found, SourcePath } from '../source-path.ts'
import type { SourcePlace } from './mapped-sitting.ts'
import { sourceIssue, type Told } from './source-issue.ts'

/** Issues told of one record. */
const MOST_ISSUES = 100

/** A source record while rules are applied to it, and every issue with it so far. */
export class RecordView {
  readonly record: SourceRecord
  readonly issues: Issue[] = []
  readonly #mapping: Mapping
  /** The item that paths from `@` begin at. */
  #item: Found | undefined

  constructor(record: SourceRecord, mapping: Mapping) {
    this.record = record
    this.#mapping = mapping
  }

  /** The same view, turned to the same item, whose issues concern nobody. */
  aside(): RecordView {
    const view = new RecordView(this.record, this.#mapping)
    view.turnTo(this.#item)
    return view
  }

  /** Turns to an item of the record, or with undefined away from all. */
  turnTo(item: Found | undefined): void {
    this.#item = item
  }

  find(path: SourcePath): readonly Found[] {
    return path.find(path.from === '@' ? this.#item?.value : this.record.value)
  }

  /** Where something that was found stands in the source's document. */
  placeOf(path: SourcePath, found: Found): SourcePlace {
    return this.#place(path, found.place)
  }

  /** Where something would stand, had it been there. */
  placeOfNothing(path: SourcePath): SourcePlace {
    return path.place === undefined ? this.#at(path.text) : this.#place(path, path.place)
  }

  /** Whether the record is a row, whose places are columns. */
  get isRow(): boolean {
    return this.#mapping.input.format === 'csv'
  }

  /** Where these steps lead from the record. */
  below(steps: readonly (string | number)[]): SourcePlace {
    return this.#at(this.isRow ? steps.join(' ') : `${this.record.path ?? '$'}${normalizedSteps(steps)}`)
  }

  tell(told: Told, at: string, rule: PlaceInMapping, from: SourcePlace | undefined): void {
    if (this.issues.length >= MOST_ISSUES || (told.code !== 'REFUSED_BY_MAPPING' && this.#isBreached(from)))
      return
    this.issues.push(
      sourceIssue(
        told,
        at,
        `${this.#mapping.name}.json:${rule.line}`,
        from ?? this.#at(this.record.path ?? ''),
      ),
    )
  }

  /** What breaks the record's schema is told once, and not again by the rule that reads it. */
  #isBreached(from: SourcePlace | undefined): boolean {
    return (
      from !== undefined &&
      this.issues.some((issue) => issue.code === 'RECORD_SCHEMA' && issue.from === from.path)
    )
  }

  #place(path: SourcePath, below: string): SourcePlace {
    if (path.from === 'column') return this.#at(below)
    const item = path.from === '@' ? (this.#item?.place ?? '') : ''
    return this.#at(`${this.record.path ?? '$'}${item}${below}`)
  }

  #at(path: string): SourcePlace {
    const { line } = this.record
    return line === undefined ? { path } : { line, path }
  }
}
