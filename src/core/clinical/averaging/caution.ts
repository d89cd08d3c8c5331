/** What stands on every average a person reads. */
export const CAUTION =
  'This is a summary of readings taken at home, not a diagnosis, and nobody watches it for emergencies. Local practice and licensed clinicians decide what follows from it.'
