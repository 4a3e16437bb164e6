-- Which piece of a find a file is about. What was noted before is about no piece of its own.
ALTER TABLE attachment ADD COLUMN piece INTEGER
  CONSTRAINT "attachment piece: 1 or more, and only of a find"
    CHECK (piece IS NULL OR (piece >= 1 AND record = 'find'));
