/**
 * Base of our own canonicals and identifier systems unless the settings name another, without a trailing slash. A
 * reserved domain, so that it can never be someone else's. Source: RFC 6761 section 6.5.
 */
export const DEFAULT_CANONICAL_BASE = 'https://home-bp-gateway.example/fhir'
