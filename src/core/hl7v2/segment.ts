import { escapeText } from './escape-text.ts'

/**
 * What stands in a field, as plain text that is not escaped yet: one text, or components, of which each may be several
 * subcomponents.
 */
export type Field = string | readonly (string | readonly string[])[]

/** A field that stands there more than once. */
export interface Repeated {
  readonly repeated: readonly Field[]
}

/** Fields by their number in the standard; those that are not there are empty. */
export type Fields = Readonly<Record<number, Field | Repeated | undefined>>

/**
 * One segment, without the CR that ends it. Empty fields, components and subcomponents at the end are cut.
 * In MSH the separators are fields 1 and 2 themselves. Source: HL7 v2.5.1 sections 2.5 and 2.6.
 *
 * @param name three letters, such as `OBX`.
 */
export function segment(name: string, fields: Fields): string {
  const header = name === 'MSH'
  const written: string[] = header ? [name, '^~\\&'] : [name]
  const first = header ? 3 : 1
  const last = Math.max(0, ...Object.keys(fields).map(Number))
  for (let number = first; number <= last; number += 1) written.push(writtenField(fields[number]))
  return joined(written, '|')
}

function writtenField(field: Field | Repeated | undefined): string {
  if (field === undefined) return ''
  return typeof field === 'object' && 'repeated' in field
    ? joined(field.repeated.map(onceWritten), '~')
    : onceWritten(field)
}

function onceWritten(field: Field): string {
  if (typeof field === 'string') return escapeText(field)
  return joined(
    field.map((component) =>
      typeof component === 'string' ? escapeText(component) : joined(component.map(escapeText), '&'),
    ),
    '^',
  )
}

function joined(parts: readonly string[], separator: string): string {
  const last = parts.findLastIndex((part) => part !== '')
  return parts.slice(0, last + 1).join(separator)
}
