import { z } from 'zod'
import { protocolDocument } from '../protocol.ts'
import { recordingRuleDocument } from '../recording-rule.ts'
import { thresholdSetDocument } from '../threshold-set.ts'

/**
 * JSON Schemas of the documents a clinic may write, for editors that complete and check while typing. Kept in
 * `profiles/schemas/`, rebuilt from the readers' own schemas. Rules across keys (windows that overlap, bands that do
 * not rise) are the reader's alone.
 */
export function documentSchemas(): Readonly<Record<DocumentSchemaFile, object>> {
  return {
    'protocol.schema.json': editorSchema(protocolDocument, 'Home blood-pressure protocol'),
    'recording-rule.schema.json': editorSchema(recordingRuleDocument, 'Rule for 24-hour recordings'),
    'threshold-set.schema.json': editorSchema(thresholdSetDocument, 'Threshold set for averages'),
  }
}

export type DocumentSchemaFile =
  | 'protocol.schema.json'
  | 'recording-rule.schema.json'
  | 'threshold-set.schema.json'

function editorSchema(document: z.ZodType, title: string): object {
  return { title, ...z.toJSONSchema(document, { io: 'input', target: 'draft-7' }) }
}
