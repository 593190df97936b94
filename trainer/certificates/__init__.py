"""Evidence, decision, permission and states of a certificate; the signed credential and the paper.

Knowledge passed is not permission: each rule here takes plain facts and the moment, and gives every reason why not.
"""
