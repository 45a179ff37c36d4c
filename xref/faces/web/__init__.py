"""The bench page: a small web application for one machine or one workshop's network.

    bench      what one running page knows: the store, the day, sessions, uploads
    guard      host, size of requests, access code, headers: before any page is asked
    visit      one request: its form, its answer, its failures as sentences
    words      how values read in a page; text from lists made harmless
    own_words  what the acts say, with the page's fields in place of options and commands
    pages_*    one module per job: parse, call an act, show
    app        the addresses

Every form works without a script; the one script only spares waiting and typing. Nothing is
fetched from outside the machine.
"""
