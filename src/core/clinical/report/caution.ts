const WHO_DECIDES =
  'not a diagnosis, and nobody watches it for emergencies. Local practice and licensed clinicians decide what follows from it.'

/** What stands on every average a person reads. */
export const CAUTION = `This is a summary of readings taken outside the clinic, ${WHO_DECIDES}`

/** What stands on every call for attention. */
export const ATTENTION_CAUTION = `This is a remark about readings taken outside the clinic, ${WHO_DECIDES}`
