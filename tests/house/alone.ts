/**
 * Test files that each get a process of their own, because they bend what a whole process shares, its clock, zone,
 * network, memory or signals, or are long anyhow. All others follow one another in a few processes, with the modules
 * that are loaded already: to load them anew took about half the time of a run.
 */
export const ALONE = [
  'tests/{browser,chaos,contracts,fuzz}/**/*.test.ts',
  'tests/capabilities/clinic-*.test.ts',
  'tests/capabilities/command-line*.test.ts',
  'tests/capabilities/{csv-diaries-anywhere,kill-and-restart,readme-commands}.test.ts',
  'tests/capabilities/{deliver-to-library-servers,library-servers-options}.test.ts',
  'tests/capabilities/{smart-rotation,hl7v2-registry-receiver}.test.ts',
  'tests/sources/r4-invariants*.test.ts',
  'tests/support/hostile-clinic/hostile-clinic-faults.test.ts',
]
