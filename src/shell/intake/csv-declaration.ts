import { pathsOf, type Rule } from '../../core/mapping/compiled-kind.ts'
import type { Mapping } from '../../core/mapping/mapping.ts'
import type { CsvForm } from './csv-form.ts'
import type { TimeColumns } from './prove-csv.ts'

/** How a CSV file is to be written, as a mapping declares it. @throws Error for a mapping of another format. */
export function csvFormOf({ input, kinds, name }: Mapping): CsvForm {
  if (input.format !== 'csv') throw new Error(`mapping ${name} does not read CSV`)
  const { delimiter, encoding } = input
  const columns = new Set(kinds.flatMap((kind) => [...pathsOf(kind)].map(({ text }) => text)))
  return { delimiter, columns: [...columns], ...(encoding === undefined ? {} : { encoding }) }
}

/** The columns whose texts a mapping declares to be times, each with the form. */
export function timeColumnsOf({ kinds }: Mapping): readonly TimeColumns[] {
  const rules = kinds.flatMap(({ session, readings }) => [
    ...session,
    ...('each' in readings ? readings.rules : readings.sets.flat()),
  ])
  return rules.flatMap(timesOf)
}

function timesOf(rule: Rule): readonly TimeColumns[] {
  if (!('sources' in rule)) return []
  return rule.sources.flatMap(({ paths, convert: { form } }) =>
    form === undefined ? [] : [{ columns: paths.map(({ text }) => text), form }],
  )
}
