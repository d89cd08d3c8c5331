import type { JsonLimits } from '../../core/json-text/read-json.ts'

/** Bundles nest deeper than session records do; how deep a resource may be is judged by the validator. */
export const RESOURCE_JSON_LIMITS: JsonLimits = { maxDepth: 256 }
