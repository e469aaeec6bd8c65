"""Drawing: values in, cells out. Nothing here knows a widget, a clock or a session."""
