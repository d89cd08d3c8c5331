import { averageCases } from './cases/average.ts'
import { bloodPressureCases } from './cases/blood-pressure.ts'
import { bloodPressureComponentCases } from './cases/blood-pressure-components.ts'
import { bundleCases } from './cases/bundle.ts'
import { bundleKindCases } from './cases/bundle-kinds.ts'
import { choiceTypeCases, otherChoiceCases } from './cases/choice-types.ts'
import { codeAndUnitCases } from './cases/codes-and-units.ts'
import { conformanceCases } from './cases/conformance.ts'
import { conformanceInvariantCases } from './cases/conformance-invariants.ts'
import { containedCases } from './cases/contained.ts'
import { dataTypeCases } from './cases/data-types.ts'
import { dateCases } from './cases/dates.ts'
import { deviceCases } from './cases/devices.ts'
import { documentAndMessageCases } from './cases/documents-and-messages.ts'
import { edgeCases } from './cases/edges.ts'
import { extensionValueCases } from './cases/extension-values.ts'
import { extensionCases } from './cases/extensions.ts'
import { heartRateCases } from './cases/heart-rate.ts'
import { hostileCases } from './cases/hostile.ts'
import { jsonFormatCases } from './cases/json-format.ts'
import { narrativeCases } from './cases/narrative.ts'
import { otherTypeCases } from './cases/other-types.ts'
import { peopleCases } from './cases/people.ts'
import { primitiveCases } from './cases/primitives.ts'
import { profilesAskedCases } from './cases/profiles-asked.ts'
import { quantityCases } from './cases/quantities.ts'
import { rangeCases } from './cases/ranges.ts'
import { recordCases } from './cases/records.ts'
import { referenceTextCases } from './cases/reference-texts.ts'
import { referenceCases } from './cases/references.ts'
import { requestCases } from './cases/requests.ts'
import { systemWordCases } from './cases/system-words.ts'
import { codeSystemCases } from './cases/terminology.ts'
import { timingCases } from './cases/timing.ts'
import { triggerCases } from './cases/triggers.ts'
import { valueSetCases } from './cases/value-sets.ts'
import { withinBundleCases } from './cases/within-bundles.ts'
import type { CorpusCase } from './corpus-case.ts'

/** Every case, by theme. The verdicts are those of the rules; what a validator answers is compared with them. */
export const CORPUS: Readonly<Record<string, readonly CorpusCase[]>> = {
  'blood pressure': [...bloodPressureCases, ...bloodPressureComponentCases],
  'heart rate and vital signs': heartRateCases,
  'average blood pressure': averageCases,
  'profiles asked for': profilesAskedCases,
  bundles: [...bundleCases, ...bundleKindCases, ...documentAndMessageCases],
  'requests and full URLs': requestCases,
  references: [...referenceCases, ...referenceTextCases, ...withinBundleCases],
  'contained resources': containedCases,
  primitives: [...dateCases, ...primitiveCases],
  'where forms and orders end': edgeCases,
  'JSON format': jsonFormatCases,
  'choice types': [...choiceTypeCases, ...otherChoiceCases],
  'quantities and ranges': [...quantityCases, ...rangeCases],
  timing: timingCases,
  'triggers and filters': triggerCases,
  'other data types': dataTypeCases,
  narrative: narrativeCases,
  extensions: [...extensionCases, ...extensionValueCases],
  'required value sets': valueSetCases,
  'words of HL7 code systems': systemWordCases,
  'codes and units': [...codeAndUnitCases, ...codeSystemCases],
  patients: peopleCases,
  devices: deviceCases,
  'provenance, audit and outcomes': recordCases,
  'conformance resources': [...conformanceCases, ...conformanceInvariantCases],
  'other types': otherTypeCases,
  'hostile input': hostileCases,
}

export const ALL_CASES: readonly CorpusCase[] = Object.values(CORPUS).flat()
