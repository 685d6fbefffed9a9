"""Many homes: finding and loading their records, and building their sites so that nothing is ever half built."""
