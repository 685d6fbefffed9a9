"""Views: what each page shows, as plain values. A template only sets them out."""
