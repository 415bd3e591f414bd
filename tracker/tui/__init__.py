"""The screens; the only folder that knows Textual."""
