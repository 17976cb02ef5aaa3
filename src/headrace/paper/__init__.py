"""How does it look drawn, printed, cut? Takes records, holds no number they lack."""
