import { OWN_EXTENSIONS } from '../../fhir/own-urls.ts'
import { type OwnStatements, partOf } from './own-statements.ts'

/** Ids of the threshold sets by which an average is labelled, each once. */
export function labelledBy({ extensions }: OwnStatements): readonly string[] {
  const ids = (extensions.get(OWN_EXTENSIONS.averageLabel) ?? []).flatMap((label) => {
    const id = partOf(label, 'thresholdSet')?.value.valueString
    return typeof id === 'string' ? [id] : []
  })
  return [...new Set(ids)]
}
