"""What somebody from the trade would try, end to end: phones' workflows, real HTTP, a real server, the report."""
