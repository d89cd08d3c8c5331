import { z } from 'zod'
import type { DocumentFile } from './document-faults.ts'

/** Code of the source to our word. */
export type CodeTable = ReadonlyMap<string, string>

const EQUAL: ReadonlySet<string> = new Set(['equal', 'equivalent'])

/**
 * FHIR R4 4.0.1, resource ConceptMap, as far as it is read here. What would change its meaning and is not read
 * (`unmapped`, `dependsOn`, `product`, a modifier extension) must not be there; all else is for people.
 */
const conceptMap = z.looseObject({
  resourceType: z.literal('ConceptMap'),
  id: z.string(),
  status: z.enum(['draft', 'active']),
  modifierExtension: z.undefined({ error: 'no modifier extension' }).optional(),
  group: z
    .array(
      z.looseObject({
        unmapped: z
          .undefined({ error: 'no word for codes that are not listed: such a record is refused' })
          .optional(),
        element: z
          .array(
            z.looseObject({
              code: z.string().min(1),
              target: z.array(
                z.looseObject({
                  code: z.string().min(1),
                  equivalence: z.string(),
                  dependsOn: z
                    .undefined({ error: 'no dependsOn: what a code means cannot depend on others' })
                    .optional(),
                  product: z.undefined({ error: 'no product: one code becomes one word' }).optional(),
                }),
              ),
            }),
          )
          .min(1),
      }),
    )
    .min(1),
})

/**
 * Reads a code table. Only what means the same is taken: `equal` or `equivalent`, one target for each code, each code
 * once. Source: FHIR R4 4.0.1, ConceptMap, value set concept-map-equivalence.
 *
 * @param id what it must be called, which is the name of its file.
 * @returns the table; what is wrong with it is noted in the file.
 */
export function readConceptMap(file: DocumentFile, id: string): CodeTable {
  const table = new Map<string, string>()
  const document = file.isSound ? file.readBy(conceptMap) : undefined
  if (document === undefined) return table
  if (document.id !== id) file.add(['id'], `the name of the file without .json: ${id}`)
  for (const [g, group] of document.group.entries()) {
    for (const [e, { code, target }] of group.element.entries()) {
      const path = ['group', g, 'element', e]
      const [only] = target
      if (only === undefined || target.length > 1) {
        file.add(
          [...path, 'target'],
          'one target: a code with none or several cannot be taken without guessing',
        )
        continue
      }
      if (!EQUAL.has(only.equivalence)) {
        file.add(
          [...path, 'target', 0, 'equivalence'],
          'equal or equivalent: what means more or less is not the same',
        )
      }
      if (table.has(code)) file.add([...path, 'code'], 'each code once')
      table.set(code, only.code)
    }
  }
  return table
}
