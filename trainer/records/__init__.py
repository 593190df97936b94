"""Tables, queries, migrations and the record log; table objects never leave records and acts."""
