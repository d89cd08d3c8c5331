/** `[base]/[type]/[id]/_history/[version]`. */
export interface ResourcePlace {
  readonly type: string
  readonly id: string
  readonly version?: string
}
