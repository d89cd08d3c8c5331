import type { Command } from 'commander'
import { DEFAULT_CANONICAL_BASE } from '../../../core/fhir/canonical-base.ts'
import type { ValidationOptions } from '../../../core/validation/validation-options.ts'
import type { Catalogue } from '../../../flow/ports/ports.ts'
import { knowsProfile } from '../../../flow/prove/examine-resource.ts'
import { loadCatalogue } from '../../config/catalogue/load-catalogue.ts'
import { bad, type Terminal } from '../terminal.ts'

/** Options of the commands that hold resources to R4 and to profiles. */
export interface JudgingOptions {
  readonly profile: readonly string[]
  readonly profilesFolder?: string
  readonly protocolsFolder?: string
  readonly canonicalBase: string
  readonly mustSupport?: true
}

export function judgingOptions(command: Command): Command {
  return command
    .option(
      '--profile <url>',
      'a profile every resource must meet, whatever it claims; may be repeated',
      (url: string, before: readonly string[]) => [...before, url],
      [],
    )
    .option('--profiles-folder <folder>', 'a folder of your own StructureDefinitions, ValueSets, CodeSystems')
    .option(
      '--protocols-folder <folder>',
      'a folder of your own protocol files, to work averages out again by',
    )
    .option('--canonical-base <url>', 'base of our own identifiers and canonicals', DEFAULT_CANONICAL_BASE)
    .option('--must-support', 'tell the must-support elements that are absent, as information')
}

/** What the resources are judged by. */
export interface Judging {
  readonly catalogue: Catalogue
  readonly options: ValidationOptions
}

/**
 * Undefined, and the terminal told, when a profile that is asked for is not loaded: nothing can be judged by it.
 *
 * @throws SettingsRefused when a folder or a file in it cannot be used.
 */
export function loadJudging(given: JudgingOptions, terminal: Terminal): Judging | undefined {
  const { profilesFolder, protocolsFolder, canonicalBase, profile, mustSupport = false } = given
  const catalogue = loadCatalogue({
    canonicalBase,
    destinations: [],
    ...(profilesFolder === undefined ? {} : { profilesFolder }),
    ...(protocolsFolder === undefined ? {} : { protocolsFolder }),
  })
  const { profiles } = catalogue
  const unknown = profile.find((url) => !knowsProfile(profiles, url))
  if (unknown === undefined) return { catalogue, options: { profiles, asked: profile, mustSupport } }
  terminal.remark(`${bad('usage')}  --profile: no profile is loaded of the URL ${unknown}`)
  return undefined
}
