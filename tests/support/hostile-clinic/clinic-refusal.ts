/** A request the server does not do, with what its OperationOutcome says. */
export class ClinicRefusal extends Error {
  readonly status: number
  /** R4 issue-type. */
  readonly code: string
  readonly expression: string | undefined

  constructor(status: number, code: string, text: string, expression?: string) {
    super(text)
    this.status = status
    this.code = code
    this.expression = expression
  }
}

/** Source of the shape: FHIR R4 4.0.1 operationoutcome.html. */
export function operationOutcome({ code, message, expression }: ClinicRefusal) {
  return {
    resourceType: 'OperationOutcome',
    issue: [
      {
        severity: 'error',
        code,
        diagnostics: message,
        ...(expression === undefined ? {} : { expression: [expression] }),
      },
    ],
  }
}
