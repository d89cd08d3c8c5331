/** What is asked of the clinic, in the keys of the settings, and what is sent of the scenario then. */
export interface SentOption {
  /** File name without its ending. */
  readonly name: string
  /** Keys of the one destination, beside its name and address. */
  readonly written: Readonly<Record<string, unknown>>
  /**
   * A sitting of two readings, a call for attention about one, the average of the week, or that of the week with the call.
   */
  readonly shows: 'sitting' | 'call' | 'average' | 'average-that-calls'
}

/** One for each option of a destination that changes what is sent; the first two for what is sent where nothing is asked. */
export const SENT_OPTIONS: readonly SentOption[] = [
  { name: 'sitting', written: {}, shows: 'sitting' },
  { name: 'call-for-attention', written: {}, shows: 'call' },
  { name: 'readings-with-average', written: { readings: 'with-average' }, shows: 'average' },
  {
    name: 'attention-with-average',
    written: { readings: 'with-average', attention: 'with-average' },
    shows: 'average-that-calls',
  },
  { name: 'readings-never', written: { readings: 'never' }, shows: 'average' },
  { name: 'readings-never-call', written: { readings: 'never' }, shows: 'call' },
  { name: 'decimals-0', written: { readings: 'never', decimals: 0 }, shows: 'average' },
  { name: 'position-as-extension', written: { positionAs: 'extension' }, shows: 'sitting' },
  { name: 'snomed', written: { snomed: true }, shows: 'sitting' },
  { name: 'claims-us-core', written: { claims: ['us-core'] }, shows: 'sitting' },
  { name: 'claims-vital-signs', written: { claims: ['vital-signs'] }, shows: 'sitting' },
  { name: 'claims-own', written: { claims: ['own'] }, shows: 'sitting' },
  {
    name: 'tags',
    written: { tags: [{ system: 'https://lantern-bay.example/tags', code: 'measured-at-home' }] },
    shows: 'sitting',
  },
  { name: 'patient-supplied', written: { patientSupplied: true }, shows: 'sitting' },
  {
    name: 'identifiers',
    written: { identifiers: [{ system: 'https://lantern-bay.example/feeds', value: 'home-pressure' }] },
    shows: 'sitting',
  },
  {
    name: 'hl7v2',
    written: {
      kind: 'hl7v2',
      host: 'interface.lantern-bay.example',
      port: 2575,
      tls: {},
      receiver: { application: 'RESULTS', facility: 'LANTERN_BAY' },
      authority: 'LANTERN_BAY',
      readings: 'never',
    },
    shows: 'average',
  },
]
