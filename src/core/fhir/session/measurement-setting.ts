import type { Extension } from 'fhir/r4.js'
import { frozen } from '../../basics/frozen.ts'
import type { Setting } from '../../clinical/session.ts'

/**
 * Where a reading was taken, in our own extension: R4 has no element for it. One constant for each setting.
 *
 * @param url of the extension under the deployment's canonical base.
 */
export function settingExtension(setting: Setting, url: string): Extension {
  if (made.get(setting)?.url !== url) made.set(setting, frozen({ url, valueCode: setting }))
  return made.get(setting) ?? { url, valueCode: setting }
}

const made = new Map<Setting, Extension>()
