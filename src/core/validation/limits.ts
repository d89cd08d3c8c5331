/** What a resource may be at most. Beyond it the resource is refused at once, with one fatal issue. */
export const LIMITS = {
  /**
   * Elements inside elements, within one resource. R4 data types need nine; extensions, and the concepts of code systems,
   * nest further.
   */
  depth: 64,
  /** Elements and list items of one resource, those of the resources in a bundle's entries not counted. */
  elements: 100_000,
  /**
   * Characters of one text, base64 and narratives aside. Source: FHIR R4 datatypes, string: at most 1 MB, 1024 * 1024
   * characters.
   */
  textLength: 1_048_576,
  /** Resources inside resources: a bundle in a bundle's entry is two. */
  resourceDepth: 4,
  /** Issues reported that block, and as many that do not. */
  issues: 1_000,
} as const
