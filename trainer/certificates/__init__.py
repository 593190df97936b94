"""Evidence, permission, states of a certificate, the signed credential and its paper."""
