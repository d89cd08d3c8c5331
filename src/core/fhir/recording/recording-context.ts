import type { AverageContext } from '../average-context.ts'

/**
 * What the means of a 24-hour recording are written with, beside the means themselves. They meet no published average
 * profile, so none can be claimed.
 */
export type RecordingContext = Omit<AverageContext, 'profiles'>
