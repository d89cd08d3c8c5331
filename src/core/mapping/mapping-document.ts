import { z } from 'zod'
import { refusalDocument, ruleDocument, whenDocument } from './mapping-parts.ts'
import { type Target, targets } from './targets.ts'

/** Format of what a mapping reads. */
const input = z
  .discriminatedUnion(
    'format',
    [
      z.strictObject({ format: z.literal('json') }),
      z.strictObject({
        format: z.literal('csv'),
        delimiter: z.enum([',', ';', '\t']).describe('The sign between columns'),
        encoding: z
          .enum(['utf-8', 'windows-1252', 'iso-8859-1', 'utf-16le'])
          .describe('How the file is written; utf-8 when left out')
          .exactOptional(),
      }),
      z.strictObject({ format: z.literal('fhir') }),
      z.strictObject({ format: z.literal('hl7v2') }),
      z.strictObject({ format: z.literal('bluetooth') }),
    ],
    'one of json, csv, fhir, hl7v2, bluetooth',
  )
  .describe('What is read')

/** Rules for places of the native record, by their dotted names. */
function rulesFor(places: ReadonlyMap<string, Target>) {
  const shape = [...places.values()].map(
    ({ place, description }) => [place, ruleDocument.describe(description).exactOptional()] as const,
  )
  return z.strictObject(Object.fromEntries(shape))
}

function kindDocument() {
  const reading = rulesFor(targets().reading)
  return z.strictObject({
    name: z.string().min(1).max(100).describe('What such a record is called'),
    when: z
      .array(whenDocument)
      .min(1)
      .max(10)
      .describe('What holds of a record of this kind, all of it; every record when left out')
      .exactOptional(),
    skip: z.literal(true).describe('Such records are knowingly left out, and told').exactOptional(),
    recordSchema: z
      .string()
      .describe('JSON Schema (2020-12) in record-schemas/ that such a record must fit')
      .exactOptional(),
    refuse: z
      .array(refusalDocument)
      .min(1)
      .max(20)
      .describe('What must not hold: any of it refuses the record')
      .exactOptional(),
    corrects: z
      .array(whenDocument)
      .min(1)
      .max(10)
      .describe('Any of it makes the sitting a correction of what was sent before')
      .exactOptional(),
    withdraws: z
      .array(whenDocument)
      .min(1)
      .max(10)
      .describe(
        'Any of it takes the reading back; the record is not asked for pressures, nor what refuse asks',
      )
      .exactOptional(),
    session: rulesFor(targets().session)
      .describe('Rules for what holds of the whole sitting')
      .exactOptional(),
    reading: reading.describe('Rules for the one reading of such a record').exactOptional(),
    readings: z
      .strictObject({
        each: z.string().describe('JSONPath to the readings of such a record').exactOptional(),
        reading: reading.describe('Rules for each; a path from @ begins at the reading').exactOptional(),
        sets: z
          .array(reading)
          .min(1)
          .max(20)
          .describe('Rules for each reading; one none of whose pressures is filled is left out')
          .exactOptional(),
      })
      .describe('Rules where such a record has several readings: each with reading, or sets')
      .exactOptional(),
    completes: z
      .literal(true)
      .describe(
        'Such a record completes a reading of the same subject at the same moment, and makes none alone',
      )
      .exactOptional(),
  })
}

function makeMappingDocument() {
  return z.strictObject({
    $schema: z.string().describe('The JSON Schema of this file, for editors').exactOptional(),
    name: z
      .string()
      .regex(/^[a-z0-9][a-z0-9-]{1,62}$/, '2 to 63 lower-case letters, digits and hyphens')
      .describe('Its name, which is the file’s without .json'),
    title: z.string().min(1).max(200).describe('What it is for, in one line'),
    description: z.string().min(1).describe('What whoever uses it should know').exactOptional(),
    citation: z.string().min(1).describe('Where the format is published').exactOptional(),
    input,
    records: z
      .string()
      .describe(
        'JSONPath to the records of a document; without it the document is one record, or each item of an array',
      )
      .exactOptional(),
    subjectBy: z
      .literal('sender')
      .describe('Whose records they are is named by whoever sends them, and no rule reads it')
      .exactOptional(),
    kinds: z
      .array(kindDocument())
      .min(1)
      .max(50)
      .describe('Kinds of record; the first that fits applies, and a record that none fits is refused'),
    sittings: z
      .strictObject({
        gapMinutes: z.number().min(0).max(1440).describe('Most minutes between one record and the next'),
      })
      .describe('Neighbouring records of one subject make one sitting; each record is one when left out')
      .exactOptional(),
    unlisted: z
      .enum(['told', 'refused'])
      .describe('What becomes of values no rule reads: told (the same as left out), or the record refused')
      .exactOptional(),
  })
}

let made: ReturnType<typeof makeMappingDocument> | undefined

/**
 * The schema of a mapping document: what one key alone can tell. What keys say together is the reader's.
 * Made when the first mapping is read, since its places come from the native record's own schema.
 */
export function mappingDocument(): ReturnType<typeof makeMappingDocument> {
  made ??= makeMappingDocument()
  return made
}

export type MappingDocument = z.output<ReturnType<typeof mappingDocument>>
export type KindDocument = MappingDocument['kinds'][number]
export type MappingInput = MappingDocument['input']
