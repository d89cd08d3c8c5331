import type { RecordShape } from '../../src/shell/intake/arrivals-in.ts'
import type { Chooser } from './chooser.ts'
import { FORMATS } from './formats/formats.ts'
import type { FuzzFormat, ValidCells, ValidJson, ValidRecords } from './formats/fuzz-format.ts'
import { copyOf, type JsonTree, treeText } from './json-tree.ts'
import { randomJson } from './random-json.ts'
import { randomBytes, spoilBytes } from './spoil-bytes.ts'
import { spoilCells } from './spoil-cells.ts'
import { spoilJson } from './spoil-json.ts'

/** What one sender sends at once. */
export interface FuzzInput {
  readonly format: FuzzFormat
  readonly shape: RecordShape
  readonly bytes: Buffer
  /** Readings in it that must all be kept, where nothing in it was spoilt. */
  readonly mustKeep?: number
}

/** Any input of any format: one in three as it should be, most spoilt in a place or a few, some of no sense at all. */
export function anyInput(random: Chooser): FuzzInput {
  const format = random.of(FORMATS)
  const chance = random.next()
  const valid = format.valid(random)
  if (chance < 0.33) return { ...written(format, valid, random), mustKeep: valid.readings }
  if (chance < 0.8) return written(format, spoilt(valid, random), random)
  const sound = written(format, chance < 0.85 ? spoilt(valid, random) : valid, random)
  if (chance < 0.95) return { ...sound, bytes: spoilBytes(sound.bytes, random, () => foreignBytes(random)) }
  return { ...sound, bytes: senseless(random) }
}

/** What was sent before, as it was or with another digit somewhere: the same again, or other content under an id. */
export function sentAgain(earlier: FuzzInput, random: Chooser): FuzzInput {
  if (random.happens(0.4)) return earlier
  const { format, shape } = earlier
  const bytes = Buffer.from(earlier.bytes)
  const digits = [...bytes.keys()].filter((at) => isDigit(bytes[at] ?? 0))
  const at = digits[random.place(digits.length)]
  if (at !== undefined) bytes[at] = random.whole(0x30, 0x39)
  return { format, shape, bytes }
}

function isDigit(byte: number): boolean {
  return byte >= 0x30 && byte <= 0x39
}

function spoilt(valid: ValidRecords, random: Chooser): ValidRecords {
  const faults = random.of([1, 1, 1, 2, 3, 8])
  if ('cells' in valid) {
    const cells = valid.cells.map((line) => [...line])
    for (let fault = 0; fault < faults; fault += 1) spoilCells(cells, random)
    return { ...valid, cells }
  }
  const records = valid.records.map(copyOf)
  const document = valid.document === undefined ? undefined : copyOf(valid.document)
  for (let fault = 0; fault < faults; fault += 1) {
    const record = records[random.place(records.length)]
    if (record !== undefined) spoilJson(record, random)
    if (document !== undefined) spoilJson(document, random)
  }
  return { records, readings: 0, ...(document === undefined ? {} : { document }) }
}

function written(format: FuzzFormat, valid: ValidRecords, random: Chooser): FuzzInput {
  if ('cells' in valid) return writtenCells(format, valid)
  const shape = random.of(['lines', 'document'] as const)
  return { format, shape, bytes: Buffer.from(jsonText(valid, shape, random)) }
}

function writtenCells(format: FuzzFormat, { cells, write, shape }: ValidCells): FuzzInput {
  return { format, shape, bytes: Buffer.from(write(cells)) }
}

function jsonText({ records, document }: ValidJson, shape: RecordShape, random: Chooser): string {
  if (shape === 'lines') return records.map((record) => `${treeText(record)}\n`).join('')
  if (document !== undefined && random.happens(0.7)) return treeText(document)
  const whole: JsonTree = { items: [...records] }
  return treeText(whole)
}

function foreignBytes(random: Chooser): Buffer {
  const format = random.of(FORMATS)
  return written(format, format.valid(random), random).bytes
}

function senseless(random: Chooser): Buffer {
  if (random.happens(0.2)) return randomBytes(random)
  if (random.happens(0.2)) return foreignBytes(random)
  const lines = Array.from({ length: random.whole(1, 4) }, () => treeText(randomJson(random)))
  return Buffer.from(lines.join('\n'))
}
