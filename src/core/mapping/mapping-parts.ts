import { z } from 'zod'
import { UNIX_TIME_UNITS } from './unix-time.ts'

/** Where a mapping reads in a source record: JSONPath in a record of objects, a column in a row. */
const place = {
  from: z
    .union([z.string(), z.array(z.string()).min(1).max(5)], 'a JSONPath, or a list of one to five')
    .describe(
      'JSONPath (RFC 9535) to the value: from $ the record, from @ the item of `each`. Several are joined with one blank.',
    )
    .exactOptional(),
  column: z.string().min(1).describe('Column of a CSV row').exactOptional(),
  columns: z
    .array(z.string().min(1))
    .min(1)
    .max(5)
    .describe('Columns of a CSV row, joined with one blank, such as those of date and time')
    .exactOptional(),
}

const time = z
  .union(
    [
      z.literal('RFC 3339'),
      z.enum(UNIX_TIME_UNITS).describe('Counted since 1970-01-01T00:00:00Z, as a whole number or its digits'),
      z.strictObject({
        form: z.string().describe('How date and time are written, such as DD.MM.YYYY HH:mm'),
        zone: z
          .string()
          .describe(
            'Where the clock stood: of-the-person (the time zone of the enrolment), in-the-text (an offset), or an IANA zone',
          ),
      }),
    ],
    `RFC 3339, ${UNIX_TIME_UNITS.join(', ')}, or an object of form and zone`,
  )
  .describe('How the time is written')

/** A rule that reads the source. */
const sourceRule = z.strictObject({
  ...place,
  absent: z
    .array(z.string())
    .min(1)
    .max(20)
    .describe('Texts that stand for nothing, such as "-"')
    .exactOptional(),
  number: z
    .strictObject({ decimalMark: z.enum(['.', ',']).describe('The sign before the tenths') })
    .describe('A number written as text')
    .exactOptional(),
  time: time.exactOptional(),
  codes: z
    .string()
    .min(1)
    .describe('Code table: the id of a ConceptMap in concept-maps/, whose targets are our words')
    .exactOptional(),
})

const SINGLE = 'a text, a number, true or false'

/** A rule for one place of the native record. Exactly one of constant, from, column, columns and firstOf. */
export const ruleDocument = sourceRule.extend({
  constant: z
    .union([z.string(), z.number(), z.boolean()], SINGLE)
    .describe('The same for every record, because the integrator knows it')
    .exactOptional(),
  firstOf: z
    .array(sourceRule)
    .min(2)
    .max(10)
    .describe('The first of these whose value is there')
    .exactOptional(),
  required: z.literal(true).describe('A record that has nothing there is refused').exactOptional(),
  mayBeAbsent: z
    .literal(true)
    .describe('Of a pressure: nothing there becomes null, the monitor gave none')
    .exactOptional(),
})

export type RuleDocument = z.output<typeof ruleDocument>
export type SourceRuleDocument = z.output<typeof sourceRule>

const listed = z
  .array(z.union([z.string(), z.number(), z.boolean()], SINGLE))
  .min(1)
  .max(50)

/** Something a record is asked. Exactly one of is, isNot and present. */
const condition = z.strictObject({
  from: z.string().describe('JSONPath to what is asked about').exactOptional(),
  column: z.string().min(1).describe('Column that is asked about').exactOptional(),
  is: listed.describe('Holds when a value there is one of these').exactOptional(),
  isNot: listed.describe('Holds when a value there is none of these, or there is none').exactOptional(),
  present: z.boolean().describe('Holds when there is a value (true) or none (false)').exactOptional(),
})

export const whenDocument = condition

export const refusalDocument = condition.extend({
  because: z
    .string()
    .min(1)
    .max(200)
    .describe('Why such a record cannot be taken, as a clause: "a maximum is no reading"'),
})

export type ConditionDocument = z.output<typeof whenDocument>
