"""What heat, germs, enzymes and salt do in meat: plain functions on numbers and arrays, knowing no rules."""
