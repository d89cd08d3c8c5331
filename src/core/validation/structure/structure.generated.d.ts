/** One thing the schema found. Source: ajv 8, `ErrorObject`. */
export interface SchemaError {
  /** JSON pointer into the resource. */
  readonly instancePath: string
  readonly keyword: string
  readonly params: Readonly<Record<string, unknown>>
}

/** Says whether the data fits; when not, `errors` holds all that is wrong until the next call. */
export interface CompiledSchema {
  (data: unknown): boolean
  readonly errors?: readonly SchemaError[] | null
}

export const Observation: CompiledSchema
export const Bundle: CompiledSchema
export const Patient: CompiledSchema
export const Device: CompiledSchema
export const Provenance: CompiledSchema
export const OperationOutcome: CompiledSchema
export const AuditEvent: CompiledSchema
