import type { Layer } from '../layer.ts'
import type { SpokenType } from '../spoken-types.ts'
import { schemaIssue } from './schema-issue.ts'
import {
  AuditEvent,
  Bundle,
  type CompiledSchema,
  Device,
  Observation,
  OperationOutcome,
  Patient,
  Provenance,
} from './structure.generated.js'

const SCHEMAS: Readonly<Record<SpokenType, CompiledSchema>> = {
  AuditEvent,
  Bundle,
  Device,
  Observation,
  OperationOutcome,
  Patient,
  Provenance,
}

/** The R4 JSON schema, compiled ahead of time: names, types, patterns and words of elements, and required complex ones. */
export const structureLayer: Layer = (resource, at, report) => {
  const schema = SCHEMAS[resource.resourceType]
  if (schema(resource)) return
  for (const error of schema.errors ?? []) {
    const issue = schemaIssue(error, resource, at)
    if (issue !== undefined) report(issue)
  }
}
