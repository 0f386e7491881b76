"""What terminal and page both say: figures written down, documents, words; nothing of how either is laid out."""
