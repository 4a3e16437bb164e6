-- How long a supply takes to come, and how much use of it is kept in store beside that. The defaults are those of
-- LEAD_DAYS and SAFETY_DAYS in the program; what was noted before has them.
ALTER TABLE supply ADD COLUMN lead_days INTEGER NOT NULL DEFAULT 7
  CONSTRAINT "supply lead time: 0 to 365 days" CHECK (lead_days BETWEEN 0 AND 365);
ALTER TABLE supply ADD COLUMN safety_days INTEGER NOT NULL DEFAULT 3
  CONSTRAINT "supply safety: 0 to 365 days" CHECK (safety_days BETWEEN 0 AND 365);
