/** The characters that part a message. Each message names its own in MSH-1 and MSH-2. Source: HL7 v2.5.1 section 2.5.4. */
export interface Separators {
  readonly field: string
  readonly component: string
  readonly repetition: string
  readonly escape: string
  readonly subcomponent: string
}

/** Those we write: `|^~\&`, as the standard recommends. */
export const OUR_SEPARATORS: Separators = {
  field: '|',
  component: '^',
  repetition: '~',
  escape: '\\',
  subcomponent: '&',
}
