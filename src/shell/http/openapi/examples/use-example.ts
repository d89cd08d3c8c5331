/** One use of an operation, as a test sends it to a running gateway. */
export interface UseExample {
  /** What it goes by in the parameters, the body and the answers of its operation. */
  readonly name: string
  readonly summary: string
  /** Whether it shows a refusal. */
  readonly refused?: true
  /** Path, query and header parameters. */
  readonly parameters?: Readonly<Record<string, string | number>>
  readonly body?: { readonly type: string; readonly value: unknown }
}
