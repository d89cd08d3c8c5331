import type { Kind } from '../compiled-kind.ts'
import { holds } from './choose-kind.ts'
import type { RecordView } from './record-view.ts'

/** What a record says of itself: that it is new, or takes the place of what was sent before, or takes that back. */
export type Standing = 'new' | 'corrects' | 'withdrawn'

/** A record that withdraws is nothing else. */
export function standingOf(kind: Kind, view: RecordView): Standing {
  if (kind.withdraws.some((condition) => holds(condition, view))) return 'withdrawn'
  return kind.corrects.some((condition) => holds(condition, view)) ? 'corrects' : 'new'
}
