/** The profiles, extensions and value sets a resource can be held to, read from StructureDefinitions beforehand. */
export interface ProfileSet {
  /** Canonical URLs of the StructureDefinitions in the set, without versions. */
  readonly urls: ReadonlySet<string>
}
