/** Of an entry, that its destination is known to hold something of what it brought. */
export const HOLDS_OF_IT = `EXISTS (
  SELECT 1 FROM held_by_entry WHERE held_by_entry.destination = outbox.destination
    AND held_by_entry.source_no = outbox.source_no AND held_by_entry.subject = outbox.subject
    AND session = CASE kind WHEN 'average' THEN '' ELSE about END AND entry = outbox.id)`
